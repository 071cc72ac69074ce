"""What a job's page says of its house and of people: ready or not, dry runs, others waited for, what was told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from crewjobs.domain.job import JobRecord, JobState
from crewjobs.domain.wording import day_words, upper
from crewjobs.engines.readiness.house import HouseState, house, work_begun
from crewjobs.engines.readiness.others import asked_words, when_words
from crewjobs.services.asked.house_ready import state_words
from crewjobs.services.asked.telling import last_told, told_called_off, told_off
from crewjobs.services.asked.waiting_on import chased_words
from crewjobs.services.jobs.asked_off import asked_off_sentences, still_asked
from crewjobs.services.jobs.called_off import off_sentences
from crewjobs.services.wording import at_site


def around_lines(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> tuple[str, ...]:
    """Return the lines of a job's page, nothing where nothing was asked and work has begun all the same.

    Of a job called off: what is left to be stopped, fetched and told; of one done who is not needed any more. `others` are the other
    jobs of its house.
    """
    return tuple(_lines(record, others, now))


def _lines(record: JobRecord, others: Sequence[JobRecord], now: datetime) -> Iterator[str]:
    if record.job.state is JobState.CALLED_OFF:
        yield from off_sentences(record, others, now)
        return
    zone, seen = record.job.site.zone, house(record, now)
    if seen.state is not HouseState.NOT_ASKED or not work_begun(record, now):
        yield upper(state_words(seen, zone))
    for run in record.dry_runs:
        yield f"Dry run of {run.crew} {at_site(zone, run.at)}: {run.because}"
    yield from asked_off_sentences(record, others, now)
    for waits in still_asked(record, now):
        promised = when_words(waits, zone, late=waits.usual and waits.promised is not None and waits.promised < now)
        yield ", ".join(filter(None, (upper(asked_words(waits)), promised, chased_words(waits.asked_again))))
    told = last_told(record)
    if told is not None:
        yield f"{record.job.customer.name} was told that it is finished {day_words(told)}"
    elif told_off(record) and record.job.state is JobState.BOOKED:
        at = max(one.at for one in record.told)
        said = "it is called off" if told_called_off(record) else "there is no day for its finish"
        yield f"{record.job.customer.name} was told {at_site(zone, at)} that {said}"
