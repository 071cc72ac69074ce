"""A scrolling sheet of drawn lines with things on it that can be selected and acted on, by keys and by mouse."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from crewjobs.screens.drawing import Line, Piece, Target, cell_len
from crewjobs.screens.widgets.drawn import STYLES
from crewjobs.screens.words import clean

if TYPE_CHECKING:
    from textual import events

Draw = Callable[[int, "Target | None"], list[Line]]
"""Draws for a width in cells and the selected target."""

_MARK = "▌"
_ASIDES = ("! ", "‖ ")
"""What begins a caution or a hold of what is selected."""
_STAYING = 4
"""So many lines of what is selected stay on top while one reads on in it, at most."""
_BEGINNING = 3
"""Lines of what is selected that say what it is."""


class Box:
    """Where a target stands: first and last line, first and last cell."""

    __slots__ = ("bottom", "left", "right", "top")

    def __init__(self, top: int, left: int, right: int) -> None:
        self.top = self.bottom = top
        self.left, self.right = left, right

    def grow(self, line: int, left: int, right: int) -> None:
        self.bottom = line
        self.left, self.right = min(self.left, left), max(self.right, right)


class Sheet(ScrollView, can_focus=True):
    """Draws pure lines for the width it has and keeps what is selected in view.

    Up and down walk the targets; at the last one the sheet scrolls on, so that what stands below can be read. Where some have
    a mark, the others are for taps alone, such as headings: what keys select shows its mark.
    What is selected but out of sight is brought into view by the first key; nothing unseen is acted on.
    A click selects; a second click on the same, or Enter, chooses it. With `tap`, one click chooses at once.
    With `sideways`, left and right walk too. With `unfolds`, the drawing depends on what is selected.
    """

    ALLOW_SELECT = False
    BINDINGS = [
        Binding("up,k", "walk(-1)", "up", show=False),
        Binding("down,j", "walk(1)", "down", show=False),
        Binding("left", "step(-1)", "left", show=False),
        Binding("right", "step(1)", "right", show=False),
        Binding("pageup", "leaf(-1)", "page up", show=False),
        Binding("pagedown", "leaf(1)", "page down", show=False),
        Binding("home", "far(0)", "first", show=False),
        Binding("end", "far(-1)", "last", show=False),
    ]
    COMPONENT_CLASSES = STYLES

    class Chosen(Message):
        """A target was acted on."""

        def __init__(self, sheet: Sheet, target: Target) -> None:
            self.sheet = sheet
            self.target = target
            super().__init__()

        @property
        def control(self) -> Sheet:
            return self.sheet

    class Missed(Message):
        """A key or a tap came when what is selected had just been put there, and was not painted yet: it does nothing."""

    class Walked(Message):
        """A key that moves was pressed."""

    class Moved(Message):
        """Another target is selected."""

        def __init__(self, sheet: Sheet, target: Target | None) -> None:
            self.sheet = sheet
            self.target = target
            super().__init__()

        @property
        def control(self) -> Sheet:
            return self.sheet

    def __init__(
        self,
        *,
        id: str | None = None,
        tap: bool = False,
        sideways: bool = False,
        unfolds: bool = False,
        tells: bool = False,
    ) -> None:
        super().__init__(id=id)
        self.tap = tap
        self.sideways = sideways
        self.unfolds = unfolds
        self.tells = tells
        """Whether what is selected says what all of it is about: paging on reads that, and selects nothing else."""
        self.selected: Target | None = None
        self._draw: Draw | None = None
        self._lines: list[Line] = []
        self._boxes: dict[Target, Box] = {}
        self._marked: set[Target | None] = set()
        self._strips: dict[int, Strip] = {}
        """Lines as painted last, as long as nothing about them changes."""
        self._styles: dict[tuple[str, bool, bool], Style] = {}
        """Styles of pieces by name, by whether they are selected, and marked by more than their ground."""
        self._drawn_for = -1
        self._pointed: Target | None = None
        self._kept_in_view = self._with_head = self._on_top = False
        self._on_its_way = False
        """Whether what is selected is to be brought into view and is not there yet."""
        self._unseen = False
        """Whether what is selected was put there by no hand, and is not painted yet: nothing acts on it."""
        self.turned_from = False
        self._held: Target | None = None
        """What was selected when the sheet was emptied."""
        """Whether another page than the one that is seen was asked for and is not there yet: no tap acts on this one."""
        self._shown: Target | None = None
        """What was selected when it was drawn last."""
        self._focused_then = False

    # What is shown

    def empty(self) -> None:
        """Show nothing, since what was read is so no more; what was selected is so again once it is there again."""
        held = self._held if self.selected is None else self.selected
        self.show(lambda _width, _selected: [])
        self._held = held

    def show(
        self,
        draw: Draw,
        select: Target | None = None,
        *,
        reveal: bool = True,
        with_head: bool = False,
        on_top: bool = False,
    ) -> None:
        """Show another drawing. What was selected stays so if it is still there, else the one in its place.

        Args:
            draw: the drawing.
            select: what to select.
            reveal: bring `select` into view.
            with_head: with the heading it stands under, where at least its beginning can be seen with that.
            on_top: at the top of the view; what stands before it is found by scrolling.
        """
        select, self._held = self._held if select is None else select, None
        order = list(self._walked)
        place = order.index(self.selected) if self.selected in order else 0
        before, was = self._boxes.get(self.selected), self.selected
        seen_at = before.top - self.scroll_offset.y if before is not None and not self._out_of_sight(before) else None
        self._draw = draw
        if select is not None:
            self.selected = select
            self._kept_in_view, self._with_head, self._on_top = (
                reveal,
                with_head,
                on_top,
            )  # also where there is no room to draw in yet
        self._redraw()
        if not self._boxes and self._drawn_for <= 0:
            return
        if self.selected not in self._boxes:
            now = list(self._walked)
            self.selected = now[min(place, len(now) - 1)] if now else None
            if self.unfolds:
                self._redraw()
            else:
                self._shown = self.selected
                self._paint_anew(self.selected)
        if was is not None and self.selected != was:
            self._unseen = True
            self.call_after_refresh(self._is_seen)
        if (select is not None and reveal) or (select is None and self._on_its_way):
            self._reveal_once_drawn()
        elif select is None and seen_at is not None:
            self._hold_still(seen_at, here=self.selected == was)
        self.post_message(self.Moved(self, self.selected))

    def _is_seen(self) -> None:
        self._unseen = False

    def _reveal_once_drawn(self) -> None:
        """Bring what is selected into view; drawn anew before it is there, it is brought there all the same."""
        self._on_its_way = True
        self.call_after_refresh(self._reveal)

    def _has_arrived(self) -> None:
        self._on_its_way = False

    def _scroll(self, y: int) -> None:
        # A view has no bar before its lines are laid out, and scrolls without one only where it is told to.
        self.scroll_to(y=y, animate=False, force=True)

    def _hold_still(self, seen_at: int, *, here: bool) -> None:
        """What is selected stays where the eye has it, though lines above came or went; what took its place is shown."""
        box = self._boxes.get(self.selected)
        if box is None:
            return
        at_head = self.scroll_offset.y == 0 and not self._out_of_sight(box)
        if box.top - self.scroll_offset.y != seen_at and not at_head:  # else the head of the page stays in sight, too
            self._scroll(max(box.top - seen_at, 0))
        if not here:
            self.call_after_refresh(self._reveal)

    @property
    def text(self) -> str:
        """Everything drawn, as plain text."""
        return "\n".join("".join(piece.text for piece in line).rstrip() for line in self._lines)

    @property
    def targets(self) -> list[Target]:
        """The targets from top to bottom."""
        return list(self._boxes)

    @property
    def _walked(self) -> dict[Target, Box]:
        """What keys select: what has a mark, or all where nothing has."""
        return {target: box for target, box in self._boxes.items() if target in self._marked} or self._boxes

    def box(self, target: Target) -> Box:
        """Where a target stands on the sheet, in lines and cells."""
        return self._boxes[target]

    def select(self, target: Target) -> None:
        """Select a target and bring it into view."""
        if target not in self._boxes or target == self.selected:
            return
        before, self.selected = self.selected, target
        self._with_head = self._on_top = False
        if self.unfolds:
            self._redraw()
        else:
            self._shown = target
            self._paint_anew(before)
            self._paint_anew(target)
        self._reveal()
        self.post_message(self.Moved(self, target))

    def _paint_anew(self, target: Target | None) -> None:
        """The lines of a target look otherwise now; all others stay as they are."""
        box = self._boxes.get(target)
        if box is None:
            return
        for number in range(box.top, box.bottom + 1):
            self._strips.pop(number, None)
        self.refresh_lines(box.top, box.bottom - box.top + 1)

    def notify_style_update(self) -> None:
        """Another palette, or the focus came or went: every line looks otherwise."""
        self._strips.clear()
        self._styles.clear()
        super().notify_style_update()

    def _redraw(self) -> None:
        width = self.scrollable_content_region.width
        self._drawn_for = width
        if self._draw is None or width <= 0:
            return
        before = self._lines
        self._lines = [[self._safe(piece) for piece in line] for line in self._draw(width, self.selected)]
        self._boxes = {}
        self._marked = {piece.target for line in self._lines for piece in line if piece.style == "mark"}
        for number, line in enumerate(self._lines):
            x = 0
            for piece in line:
                size = cell_len(piece.text)
                if piece.target is not None:
                    box = self._boxes.get(piece.target)
                    if box is None:
                        box = self._boxes[piece.target] = Box(number, x, x + size)
                    box.grow(number, x, x + size)
                x += size
        self._keep_strips(before)
        self.virtual_size = Size(width, len(self._lines))
        self.refresh()

    def _keep_strips(self, before: list[Line]) -> None:
        """What is drawn again as it was, and was and is not selected, need not be painted anew."""
        shown = (self.selected, self._shown)
        self._shown = self.selected
        for number in list(self._strips):
            line = self._lines[number] if number < len(self._lines) else None
            same = line is not None and line == before[number]
            if not same or any(piece.target is not None and piece.target in shown for piece in before[number]):
                del self._strips[number]

    @staticmethod
    def _safe(piece: Piece) -> Piece:
        return piece if piece.text.isprintable() else piece._replace(text=clean(piece.text))

    def on_resize(self) -> None:
        """Draw again for the new width and keep what is selected in view."""
        if self.scrollable_content_region.width != self._drawn_for:
            self._redraw()
            if self.selected is None and self._boxes:
                self.selected = next(iter(self._walked))
                self._redraw()
        if self._kept_in_view:
            self._reveal()  # before it is painted, and again when all that moves has moved
            self.call_after_refresh(self._reveal)

    def render_line(self, y: int) -> Strip:
        """One line of the view."""
        width = self.scrollable_content_region.width
        number = self._number(y)
        if number >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        if self._focused_then != self.has_focus:  # what is selected looks otherwise where the keys do not go
            self._focused_then = self.has_focus
            self._strips.clear()
            self._styles.clear()
        strip = self._strips.get(number)
        if strip is None or strip.cell_length != width:
            segments = [Segment(*self._painted(piece)) for piece in self._lines[number]]
            strip = self._strips[number] = Strip(segments).adjust_cell_length(width, self.rich_style)
        return strip

    def _number(self, y: int) -> int:
        """Return which line stands at one of the view: its beginning stays on top while one reads on in what is selected."""
        number = y + self.scroll_offset.y
        box = self._boxes.get(self.selected)
        if not self.unfolds or box is None or not box.top < self.scroll_offset.y <= box.bottom:
            return number
        return box.top + y if y < self._staying(box) and number <= box.bottom else number

    def _staying(self, box: Box) -> int:
        """Return how many lines say what it is that is selected: those ahead of its cautions and holds."""
        lines = self._lines[box.top : box.bottom + 1]
        ends = (at for at, line in enumerate(lines) if any(piece.text.startswith(_ASIDES) for piece in line))
        return min(max(next(ends, 1), 1), _STAYING, max(self.scrollable_content_region.height // 3, 1))

    def _painted(self, piece: Piece) -> tuple[str, Style]:
        here = piece.target is not None and piece.target == self.selected
        # What has no room for a mark is told by more than its ground, too.
        plain = here and piece.target not in self._marked
        key = (piece.style, here, plain)
        style = self._styles.get(key)
        if style is None:
            style = self._styles[key] = self._style(*key)
        return (_MARK if here and piece.style == "mark" else piece.text), style

    def _style(self, name: str, here: bool, plain: bool) -> Style:
        names = [f"sheet--{one}" for one in name.split()]
        style = self.get_component_rich_style(*names) if names else self.rich_style
        if not here:
            return style
        ground = self.get_component_rich_style("sheet--here" if self.has_focus else "sheet--here-dim").bgcolor
        return style + Style(bgcolor=ground, underline=plain or None)

    # Walking

    def action_walk(self, way: int) -> None:
        """Select the next target above or below; with none left, scroll."""
        self.post_message(self.Walked())
        if not self._boxes:
            self.scroll_relative(y=way, animate=False)
            return
        here = self._boxes.get(self.selected)
        if here is not None and self._out_of_sight(here) == way:
            self._reveal()
            return
        if here is not None and self._read_on(here, way):
            return
        found = self._nearest(here, way) if here else next(iter(self._walked))
        if found is None:
            self.scroll_relative(y=way * 3, animate=False)
        else:
            self.select(found)

    def _out_of_sight(self, box: Box) -> int:
        """-1 where it stands above the view, 1 below it, else 0."""
        top, height = self.scroll_offset.y, self.scrollable_content_region.height
        return -1 if box.bottom < top else 1 if box.top >= top + height else 0

    def _read_on(self, here: Box, way: int) -> bool:
        """Scroll within what is selected where it is taller than the view, before going on to the next."""
        top, height = self.scroll_offset.y, self.scrollable_content_region.height
        hidden = here.bottom - (top + height - 1) if way > 0 else top - here.top
        if hidden <= 0 or not top <= here.bottom or here.top >= top + height:
            return False
        step = max(height - 2 - (self._staying(here) if self.unfolds else 0), 1)
        self.scroll_relative(y=way * min(hidden, step), animate=False)
        return True

    def _nearest(self, here: Box, way: int) -> Target | None:
        beyond = [
            (abs(box.top - here.top), max(box.left - here.left, here.left - box.left), target)
            for target, box in self._walked.items()
            if (box.top > here.bottom if way > 0 else box.bottom < here.top)
        ]
        if not beyond:
            return None
        aligned = [item for item in beyond if self._in_column(self._boxes[item[2]], here)]
        return min(aligned or beyond, key=lambda item: item[:2])[2]

    @staticmethod
    def _in_column(box: Box, here: Box) -> bool:
        return box.left < here.right and box.right > here.left

    def check_action(self, action: str, _parameters: tuple[object, ...]) -> bool | None:
        """Left and right belong to the screen unless this sheet walks sideways."""
        return self.sideways if action == "step" else True

    def action_step(self, way: int) -> None:
        """Select the next target to the left or right, in reading order where the row ends."""
        here = self._boxes.get(self.selected)
        if here is None:
            return
        level = [
            (abs(box.left - here.left), abs(box.top - here.top), target)
            for target, box in self._walked.items()
            if box.top <= here.bottom and box.bottom >= here.top and (box.left - here.left) * way > 0
        ]
        if level:
            self.select(min(level, key=lambda item: item[:2])[2])
            return
        order = list(self._boxes if self.selected not in self._walked else self._walked)
        place = order.index(self.selected) + way
        if 0 <= place < len(order):
            self.select(order[place])

    def action_leaf(self, way: int) -> None:
        """Scroll a page and select what is in view, unless what is selected is what one reads."""
        self.post_message(self.Walked())
        height = max(self.scrollable_content_region.height - 1, 1)
        here = self._boxes.get(self.selected)
        self.scroll_relative(y=way * height, animate=False)
        if here is None or self.tells:
            return
        goal = here.top + way * height
        self.select(min(self._walked, key=lambda target: abs(self._boxes[target].top - goal)))

    def action_far(self, place: int) -> None:
        """Select the first or the last target and scroll to that end."""
        self.post_message(self.Walked())
        if self._boxes:
            self.select(list(self._walked)[place])
        (self.scroll_home if place == 0 else self.scroll_end)(animate=False, immediate=True)

    def choose(self) -> None:
        """Act on what is selected; screens bind Enter to it under the name of what it does there."""
        here = self._boxes.get(self.selected)
        if here is None or self.selected is None:
            return
        if self._unseen:
            self.post_message(self.Missed())
            return
        if self._out_of_sight(here):
            self._reveal()
        else:
            self.post_message(self.Chosen(self, self.selected))

    def _reveal(self) -> None:
        """Bring what is selected into view, with the heading it stands under where that is asked for and fits."""
        self._bring_with_head()
        self.call_after_refresh(self._has_arrived)  # after what it scrolls, which waits for the same

    def _bring_with_head(self) -> None:
        self._bring()
        box = self._boxes.get(self.selected)
        if box is None or not (self._with_head or self._on_top):
            return
        if self._on_top:
            if next(iter(self._walked)) != self.selected:
                self._scroll(box.top)
            return
        headed = (n for n in range(box.top, -1, -1) if any(piece.style == "rule" for piece in self._lines[n]))
        head = next(headed, 0)
        if head < self.scroll_offset.y and box.top - head <= self.scrollable_content_region.height - _BEGINNING:
            self._scroll(head)

    def _bring(self) -> None:
        box = self._boxes.get(self.selected)
        height = self.scrollable_content_region.height
        if box is None or height <= 0:
            return
        self._kept_in_view = True
        top = self.scroll_offset.y
        # A heading above the first target must not stay out of sight for good.
        if next(iter(self._walked)) == self.selected and box.top < height - 2:
            self._scroll(0)
        elif box.bottom - box.top >= height:
            # Taller than the view: its beginning is what has to be seen.
            if not top <= box.top < top + height - 2:
                self._scroll(box.top)
        elif box.top < top:
            self._scroll(box.top)
        elif box.bottom >= top + height:
            self._scroll(box.bottom - height + 1)

    # Mouse

    def on_click(self, event: events.Click) -> None:
        """Select or choose what stands under the pointer."""
        offset = event.get_content_offset(self)
        if offset is None:
            return
        if self._unseen or self.turned_from:
            self.post_message(self.Missed())
            return
        target = self._at(offset.x, self._number(offset.y))
        if target is None:
            return
        again = target == self.selected == self._pointed
        self._pointed = target
        self.select(target)
        if self.tap or again:
            self.choose()

    def _at(self, x: int, number: int) -> Target | None:
        if number >= len(self._lines):
            return None
        place = 0
        for piece in self._lines[number]:
            place += cell_len(piece.text)
            if x < place:
                return piece.target
        return None
