"""What must be calibrated on a job, and why: events and fitted sensors in, needs out."""

from standtrue.needs.answer import (
    NO_CARD,
    Cause,
    Link,
    Need,
    NeedsAnswer,
    NotFitted,
    OpenQuestion,
    WorkStep,
    sensor_ref,
    sensor_title,
)
from standtrue.needs.facts import is_fact
from standtrue.needs.find import find_needs, only_required
from standtrue.needs.order import order_of_work
from standtrue.needs.tasks import is_known_step

__all__ = [
    "NO_CARD",
    "Cause",
    "Link",
    "Need",
    "NeedsAnswer",
    "NotFitted",
    "OpenQuestion",
    "WorkStep",
    "find_needs",
    "is_fact",
    "is_known_step",
    "only_required",
    "order_of_work",
    "sensor_ref",
    "sensor_title",
]
