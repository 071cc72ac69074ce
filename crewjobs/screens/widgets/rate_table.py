"""How a crew's rates are drawn, phase by phase: the book's, its own, the band on one scale, the jobs behind it.

Targets are ``("rate", crew, template)`` and ``("ask", place, job)``.
"""

from __future__ import annotations

from crewjobs.drawing.bars import Scale, band_bar, scale_of, scale_words
from crewjobs.screens.drawing import Line, Piece, Target, filled, fit, heading, paragraph
from crewjobs.services.rates.rates_rows import CrewRates, RateRow, RatesView

_ROOMY = 100
_WIDE = 60
_BAR, _BAR_BESIDE = 25, 23
_BOOK, _OWN, _BAND, _JOBS = 14, 8, 14, 4
_GAP = 2
MAN_DAY = "amount a man-day of 8 h, or minutes"
SCALE = "━ 80 %, ◆ own, ┊ book; left is slower"


def draw_rates(view: RatesView, crew: str, width: int, selected: Target | None) -> list[Line]:
    """The whole sheet of one crew; below its rates, what is to be asked and what concerns all crews."""
    lines: list[Line] = []
    rates = next((one for one in view.crews if one.crew == crew), None)
    if rates is None or not view.jobs:
        lines += [[], *paragraph(view.note, width - 2, "", " ")]
    if rates is not None and rates.note and (view.jobs or rates.sub):
        lines += [[], *paragraph(rates.note, width - 2, "", " ")]
    if rates is not None and rates.rows:
        lines += _of_crew(rates, _scale(view), width, selected)
    if rates is not None and rates.pinned:
        lines += [[], heading("Set by hand", width)]
        for words in rates.pinned:
            lines += paragraph(words, width - 2, "", " · ")
    if not view.jobs:
        return lines
    return lines + _below(view, crew, width)


def _scale(view: RatesView) -> Scale:
    """One scale for all crews, so that they can be compared by eye."""
    rows = [row for crew in view.crews for row in crew.rows]
    return scale_of([pace for row in rows for pace in (row.slow, row.quick)])


def _of_crew(rates: CrewRates, scale: Scale, width: int, selected: Target | None) -> list[Line]:
    lines = [heading(f"Hours of {rates.jobs} job{'s' * (rates.jobs != 1)}", width, MAN_DAY)]
    if width >= _ROOMY:
        lines.append(_head(scale, width))
    else:
        indent = width - 1 - _bar_room(width) if width >= _WIDE else 3
        unit = "" if width >= _WIDE else f"{MAN_DAY}; "
        lines += paragraph(f"{unit}{SCALE}", width - 2, "muted", " ")
        lines.append([Piece(" " * indent), Piece(scale_words(scale, _bar_room(width)), "muted")])
    for phase in dict.fromkeys(row.phase for row in sorted(rates.rows, key=_phase_place)):
        lines.append([Piece(" "), Piece(phase, "head")])
        for row in rates.rows:
            if row.phase == phase:
                lines += _rate(row, ("rate", rates.crew, row.template), scale, width, selected)
    if width >= _ROOMY:
        lines += paragraph(SCALE, width - 2, "muted", " ")
    return lines


def _phase_place(row: RateRow) -> int:
    order = ("acclimate", "demolition", "subfloor prep", "install", "trim", "fixtures reset")
    return order.index(row.phase) if row.phase in order else len(order)


def _bar_room(width: int) -> int:
    return _BAR if width >= _ROOMY else _BAR_BESIDE if width >= _WIDE else min(_BAR, max(width - 12, 8))


def _head(scale: Scale, width: int) -> Line:
    names = ((f"{'book':>{_BOOK}}", _BOOK), (f"{'own':>{_OWN}}", _OWN), (f"{'80 % band':>{_BAND}}", _BAND))
    line: Line = [Piece(" " * (width - 1 - _BOOK - _OWN - _BAND - _BAR - _JOBS - 5 * _GAP))]
    for name, size in names:
        line += [Piece(" " * _GAP), Piece(name.rjust(size), "muted")]
    line += [Piece(" " * _GAP), Piece(scale_words(scale, _BAR), "muted")]
    return [*line, Piece(" " * _GAP), Piece("jobs", "muted"), Piece(" ")]


def _rate(row: RateRow, target: Target, scale: Scale, width: int, selected: Target | None) -> list[Line]:
    chosen = target == selected
    if width >= _ROOMY:
        lines = _across(row, target, scale, width)
    elif width >= _WIDE:
        lines = _two(row, target, scale, width, chosen)
    else:
        lines = _short(row, target, scale, width)
    if chosen:
        lines += [
            [Piece("   ", "", target), *line]
            for line in paragraph(rate_sentence(row), width - 5, "accent", target=target)
        ]
    return [filled(_marked(line, target), width, target) for line in lines]


def _marked(line: Line, target: Target) -> Line:
    return [Piece(" ", "mark", target), *line]


def rate_sentence(row: RateRow) -> str:
    """How the rate stands to the book's, in words."""
    pace, slow, quick = (round(one, 2) for one in (row.pace, row.slow, row.quick))
    way = "at the book's pace" if pace == 1 else f"{pace:.2f} times the book's pace"
    if row.pinned:
        return f"Pinned by hand: {way}, whatever hours say."
    sure = "the band still holds the book's" if slow <= 1 <= quick else "the book's lies outside the band"
    return f"{way[:1].upper()}{way[1:]}, with 80 % between {slow:.2f} and {quick:.2f}; {sure}."


def _across(row: RateRow, target: Target, scale: Scale, width: int) -> list[Line]:
    """One line a rate; a long title goes on below."""
    room = width - 1 - _BOOK - _OWN - _BAND - _BAR - _JOBS - 5 * _GAP
    titles = paragraph(row.title, room - 1, "strong", target=target)
    first: Line = filled(titles[0], room - 1, target)
    pinned = "*" if row.pinned else ""
    for text, size, style in (
        (row.book_words, _BOOK, ""),
        (f"{row.own_words}{pinned}", _OWN, "strong"),
        ("pinned" if row.pinned else row.band_words, _BAND, ""),
    ):
        first += [Piece(" " * _GAP, "", target), Piece(fit(text, size).rjust(size), style, target)]
    first += [Piece(" " * _GAP, "", target), *_bar(row, scale, _BAR, target), Piece(" " * _GAP, "", target)]
    first.append(Piece(f"{row.jobs:>{_JOBS}}", "", target))
    return [first, *titles[1:]]


def _two(row: RateRow, target: Target, scale: Scale, width: int, chosen: bool) -> list[Line]:
    """Title and jobs; figures with the band below."""
    jobs = _jobs(row)
    room = width - 3 - len(jobs)
    titles = (
        paragraph(row.title, room, "strong", target=target)
        if chosen
        else [[Piece(fit(row.title, room), "strong", target)]]
    )
    lines = [[*filled(titles[0], room + 1, target), Piece(jobs, "muted", target)], *titles[1:]]
    figures = _figures(row)
    left: Line = [Piece(fit(figures, width - 4 - _BAR_BESIDE), "", target)]
    lines.append([*filled(left, width - 2 - _BAR_BESIDE, target), *_bar(row, scale, _BAR_BESIDE, target)])
    return lines


def _short(row: RateRow, target: Target, scale: Scale, width: int) -> list[Line]:
    lines = paragraph(row.title, width - 2, "strong", target=target)
    lines += paragraph(_figures(row), width - 2, "", target=target)
    bar = _bar_room(width)
    return [
        *lines,
        [Piece("  ", "", target), *_bar(row, scale, bar, target), Piece(f"  {_jobs(row)}", "muted", target)],
    ]


def _figures(row: RateRow) -> str:
    band = "pinned" if row.pinned else f"80 %: {row.band_words}"
    return f"book {row.book_words}, own {row.own_words}, {band}"


def _jobs(row: RateRow) -> str:
    return f"{row.jobs} job{'s' * (row.jobs != 1)}"


def _bar(row: RateRow, scale: Scale, columns: int, target: Target) -> Line:
    return [Piece(band_bar(row.slow, row.pace, row.quick, scale, columns), "bar", target)]


def _below(view: RatesView, crew: str, width: int) -> list[Line]:
    lines: list[Line] = []
    asked = [(place, odd) for place, odd in enumerate(view.ask) if odd.crew == crew]
    if asked:
        lines += [[], heading("To ask about", width, "Enter opens the job")]
        for place, odd in asked:
            target = ("ask", place, odd.job)
            texts = paragraph(odd.sentence, width - 2, "warn", "? ", target)
            lines += [filled(_marked(text, target), width, target) for text in texts]
    for title, told in (
        ("Where it is, beyond the book's factors", view.conditions),
        ("Hours that tell no pace, of all crews", view.apart),
    ):
        lines += [[], heading(title, width)] if told else []
        for words in told:
            lines += paragraph(words, width - 2, "", " · ")
    return [*lines, [], *paragraph(view.note, width - 2, "muted", " ")]


def crew_words(rates: CrewRates) -> str:
    """A crew in a list: how much is known of it."""
    if rates.sub:
        return f"{rates.crew}, a sub: no rates"
    return (
        f"{rates.crew}, hours of {rates.jobs} job{'s' * (rates.jobs != 1)}"
        if rates.rows
        else f"{rates.crew}, no hours yet"
    )
