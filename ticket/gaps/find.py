"""All the rules, and the one call that asks them."""

from ticket.gaps import diagnosis, header, repair
from ticket.gaps.gap import BLOCKING, Gap, Rule
from ticket.job.case import Case

RULES: tuple[Rule, ...] = (
    header.vehicle_missing,
    header.customer_missing,
    header.odometer_missing,
    header.odometer_backwards,
    header.odometer_doubtful,
    header.vin_doubtful,
    header.earlier_waiting,
    header.comeback_unlinked,
    diagnosis.complaint_missing,
    diagnosis.complaint_untouched,
    diagnosis.not_reproduced_untried,
    diagnosis.reference_missing,
    diagnosis.cause_unproved,
    diagnosis.cause_missing,
    diagnosis.finding_unanswered,
    diagnosis.suspicion_open,
    diagnosis.ruled_without_reason,
    diagnosis.verdict_contradicted,
    diagnosis.verdict_undecided,
    diagnosis.limits_not_read,
    diagnosis.limits_without_source,
    diagnosis.answer_not_read,
    repair.part_missing,
    repair.part_unexplained,
    repair.sides_differ,
    repair.cause_not_answered,
    repair.repair_not_proved,
    repair.code_not_read_again,
    repair.proof_failed,
    repair.proof_came_back,
    repair.later_incomplete,
    repair.safety_unanswered,
    repair.offer_unanswered,
    repair.declined_yet_done,
    repair.work_before_yes,
)


def find_gaps(case: Case) -> tuple[Gap, ...]:
    """Every gap of a ticket: blocking ones first, then in the order of the entries they point at."""
    gaps = [gap for rule in RULES for gap in rule(case)]
    return tuple(sorted(gaps, key=lambda gap: (gap.level != BLOCKING, gap.entry or 0, gap.id)))


def blocking(gaps: tuple[Gap, ...]) -> tuple[Gap, ...]:
    """The gaps that signing has to answer."""
    return tuple(gap for gap in gaps if gap.level == BLOCKING)
