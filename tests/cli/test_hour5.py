"""Moments at which a fresh owner had to guess, each by itself: lines to type next, back, amendments, dates."""

import re
from decimal import Decimal
from pathlib import Path

import pytest

from inspect_kit.cli.questions import Question, answers
from inspect_kit.model.checklist import Bound, Check, Reads
from inspect_kit.model.measured import Earlier, When, slipped
from tests.cli.conftest import TODAY, Run
from tests.cli.test_sealing import ADA, Page, page
from tests.cli.walk_store import HERE

__all__ = ["page"]
