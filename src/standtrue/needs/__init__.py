"""What must be calibrated on a job, and why: events and fitted sensors in, needs out."""

from standtrue.needs.answer import (
    NO_CARD,
    Link,
    Need,
    NeedsAnswer,
    NotFitted,
    Reason,
    WorkStep,
    needs_to_json,
    sensor_title,
)
from standtrue.needs.defaults import default_rules, default_rules_toml, default_table
from standtrue.needs.find import find_needs
from standtrue.needs.order import STAGES, order_of_work

__all__ = [
    "NO_CARD",
    "STAGES",
    "Link",
    "Need",
    "NeedsAnswer",
    "NotFitted",
    "Reason",
    "WorkStep",
    "default_rules",
    "default_rules_toml",
    "default_table",
    "find_needs",
    "needs_to_json",
    "order_of_work",
    "sensor_title",
]
