from inspect_kit.report.asked import ReportFacts, SignatureState
from inspect_kit.report.blocks import Page
from inspect_kit.report.calendar import calendar_text, without_day
from inspect_kit.report.cells import csv_text, record_rows
from inspect_kit.report.json import (
    balance_json,
    directives_json,
    due_json,
    findings_json,
    history_json,
    json_text,
    owed_json,
    plan_json,
    scope_json,
    status_json,
    trends_json,
    why_json,
)
from inspect_kit.report.json_store import report_json, verify_json
from inspect_kit.report.json_visits import parts_json, visits_json, worth_json
from inspect_kit.report.pages.balance import balance_page
from inspect_kit.report.pages.directives import directives_page
from inspect_kit.report.pages.due import due_page
from inspect_kit.report.pages.entry import entry_page
from inspect_kit.report.pages.explain import item_page
from inspect_kit.report.pages.handover import handover_page, records_page
from inspect_kit.report.pages.hangar import hangar_due_page, hangar_status_page
from inspect_kit.report.pages.history import history_of, history_page, kind_on_record
from inspect_kit.report.pages.hours import PlanClock
from inspect_kit.report.pages.in_progress import in_progress_page
from inspect_kit.report.pages.order_served import order_blocks
from inspect_kit.report.pages.owed import left_sentences, owed_sentences
from inspect_kit.report.pages.parts import parts_page
from inspect_kit.report.pages.plan import compare_page, plan_page, share_page
from inspect_kit.report.pages.plan_end import End, end_json, end_sentences
from inspect_kit.report.pages.plan_more import finish_sentences, more_blocks, why_blocks, why_page
from inspect_kit.report.pages.problems import gathered
from inspect_kit.report.pages.record import report_page
from inspect_kit.report.pages.scope import scope_page
from inspect_kit.report.pages.search import search_json, search_page, search_screen
from inspect_kit.report.pages.signing import missing_page, statement_page
from inspect_kit.report.pages.status import status_page
from inspect_kit.report.pages.trend import trend_page
from inspect_kit.report.pages.verify import verify_page
from inspect_kit.report.pages.visits import visits_page
from inspect_kit.report.screens.due import due_screen, first_lines
from inspect_kit.report.screens.hangar import hangar_due_screen, hangar_status_screen
from inspect_kit.report.screens.history import history_screen
from inspect_kit.report.screens.plan import plan_screen
from inspect_kit.report.screens.scope import scope_screen
from inspect_kit.report.screens.status import status_screen
from inspect_kit.report.screens.visits import visits_screen
from inspect_kit.report.words import parts_used

__all__ = [
    "End",
    "Page",
    "PlanClock",
    "ReportFacts",
    "SignatureState",
    "balance_json",
    "balance_page",
    "calendar_text",
    "compare_page",
    "csv_text",
    "directives_json",
    "directives_page",
    "due_json",
    "due_page",
    "due_screen",
    "end_json",
    "end_sentences",
    "entry_page",
    "findings_json",
    "finish_sentences",
    "first_lines",
    "gathered",
    "handover_page",
    "hangar_due_page",
    "hangar_due_screen",
    "hangar_status_page",
    "hangar_status_screen",
    "history_json",
    "history_of",
    "history_page",
    "history_screen",
    "in_progress_page",
    "item_page",
    "json_text",
    "kind_on_record",
    "left_sentences",
    "missing_page",
    "more_blocks",
    "order_blocks",
    "owed_json",
    "owed_sentences",
    "parts_json",
    "parts_page",
    "parts_used",
    "plan_json",
    "plan_page",
    "plan_screen",
    "record_rows",
    "records_page",
    "report_json",
    "report_page",
    "scope_json",
    "scope_page",
    "scope_screen",
    "search_json",
    "search_page",
    "search_screen",
    "share_page",
    "statement_page",
    "status_json",
    "status_page",
    "status_screen",
    "trend_page",
    "trends_json",
    "verify_json",
    "verify_page",
    "visits_json",
    "visits_page",
    "visits_screen",
    "why_blocks",
    "why_json",
    "why_page",
    "without_day",
    "worth_json",
]
