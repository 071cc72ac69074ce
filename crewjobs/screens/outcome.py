"""Calling the office in a thread, and what came of it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, TypeVar, cast

from crewjobs.domain.errors import AlreadySo, ChangedMeanwhile, NotWritten, OnHold, Refused
from crewjobs.screens.words import cleaned

if TYPE_CHECKING:
    from textual.dom import DOMNode
    from textual.worker import Worker

    from crewjobs.screens.app import CrewApp

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome(Generic[T]):
    """Either a value or the sentences why not.

    `on_hold` marks a refusal that a written reason passes, `wanting` one of what is recorded only with words, `already` one of what is so already, `meanwhile` one of what
    somebody else changed since; `fault` a fault of the program's own, not a refusal.
    """

    value: T | None = None
    sentences: tuple[str, ...] = ()
    on_hold: bool = False
    wanting: bool = False
    already: bool = False
    meanwhile: bool = False
    fault: bool = False


async def outcome_of(call: Callable[[], T]) -> Outcome[T]:
    """Call in a thread. Refusals and faults come back as sentences, so that no screen ever shows a traceback."""
    task = asyncio.ensure_future(asyncio.to_thread(call))
    # Whoever asked may have gone meanwhile: then nobody is told, and no traceback either.
    task.add_done_callback(lambda done: done.cancelled() or done.exception())
    await asyncio.wait({task})
    problem = task.exception()
    if problem is None:
        return Outcome(value=cleaned(task.result()))
    if isinstance(problem, Refused):
        return Outcome(
            sentences=tuple(cleaned(problem.sentences)),
            on_hold=isinstance(problem, OnHold),
            wanting=isinstance(problem, NotWritten),
            already=isinstance(problem, AlreadySo),
            meanwhile=isinstance(problem, ChangedMeanwhile),
        )
    return Outcome(
        sentences=(cleaned(f"The program met a fault of its own ({fault_words(problem)})."),),
        fault=True,
    )


def fault_words(error: BaseException | None) -> str:
    """What a fault of the program's own is called in a sentence: its kind, and what it says of itself."""
    kind = type(error).__name__
    return f"{kind}: {error}" if str(error) else kind


def work(
    node: DOMNode,
    call: Callable[[], Coroutine[None, None, None]],
    group: str,
    *,
    exclusive: bool = False,
    opens: bool = False,
    shuts: bool = False,
) -> None:
    """Run beside the screen; an exclusive one makes an older one of its group void.

    What `opens` a dialog has all keys struck meanwhile wait for it. What a dialog began that closed `shuts` the keys out
    that are struck while it is at work: struck again in haste, they would act on the page behind.
    """

    async def whole() -> None:
        from textual.css.query import NoMatches
        from textual.screen import Screen

        try:
            await call()
        except NoMatches:
            here = node.is_active and node.is_mounted if isinstance(node, Screen) else node.is_attached
            if here and node.children and node.app.is_running:
                raise
            # The page was closed meanwhile, or all are, or it does not stand yet: it has no part that could be told.

    worker: Worker[None] = node.run_worker(whole, group=group, exclusive=exclusive)
    if opens:
        cast("CrewApp", node.app).in_turn.opens(worker)
    if shuts:
        cast("CrewApp", node.app).in_turn.shuts(worker)
