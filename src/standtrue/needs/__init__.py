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
from standtrue.needs.find import find_needs, only_required
from standtrue.needs.order import STAGES, order_of_work

__all__ = [
    "NO_CARD",
    "STAGES",
    "Cause",
    "Link",
    "Need",
    "NeedsAnswer",
    "NotFitted",
    "OpenQuestion",
    "WorkStep",
    "find_needs",
    "only_required",
    "order_of_work",
    "sensor_ref",
    "sensor_title",
]
