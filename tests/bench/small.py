"""Small jobs with many ties, against CP-SAT: how many plans are as short, how many are proved, how long they take.

python -m tests.bench small [--jobs N] [--first SEED] [--effort E] [--each]
"""

import argparse
import time

from inspect_kit.plan import Plan, plan
from inspect_kit.plan.contradictions import contradictions
from inspect_kit.plan.frame import frame_of
from inspect_kit.plan.steps import work_of
from tests.plan.small import small_job
from tests.scheduling.reference import optimum


def main(argv: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.bench small")
    parser.add_argument("--jobs", type=int, default=100, help="jobs that have a plan")
    parser.add_argument("--first", type=int, default=0, help="seed of the first")
    parser.add_argument("--effort", type=float, default=5.0, help="deterministic time of CP-SAT for each, one worker")
    parser.add_argument("--each", action="store_true", help="a line for every job")
    options = parser.parse_args(argv)
    seed, jobs = options.first, 0
    counts = dict.fromkeys(("as short", "shorter", "longer", "proved here", "proved there", "proved by either"), 0)
    gaps, times = [], []
    while jobs < options.jobs:
        job, seed = small_job(seed), seed + 1
        if contradictions(job):
            continue
        before = time.process_time()
        made = plan(job)
        spent = time.process_time() - before
        if not isinstance(made, Plan):
            print(f"  {seed - 1} {made[0]}")
            continue
        jobs += 1
        found, bound = optimum(frame_of(job, work_of(job)).problem, effort=options.effort)
        times.append(spent)
        counts["proved here"] += made.proved
        counts["proved there"] += found == bound
        counts["proved by either"] += made.proved or made.elapsed == bound
        if found is not None:
            counts["as short" if made.elapsed == found else "longer" if made.elapsed > found else "shorter"] += 1
            gaps.append(100 * (made.worked - found) / found if not job.shifts else 0.0)
        if options.each:
            print(f"  {seed - 1} {made.elapsed} {made.lower_bound} {found} {bound} {spent:.2f}", flush=True)
    times.sort()
    for words, count in counts.items():
        print(f"{words:18} {count:3} of {jobs}")
    print(f"longer by at most  {max(gaps):.2f} %, on average {sum(gaps) / len(gaps):.3f} %")
    print(f"processor time     median {times[len(times) // 2]:.2f} s, worst {times[-1]:.2f} s")
    return 0
