"""A drawing painted with characters: the one painter of the screen, of the text page and of the command.

Each room is painted at one scale, a row of characters twice as high as a column is wide, and the tiles are put on shelves anew for
the columns there are. A letter for which a room has no cell left is written below it; none is lost.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from crewjobs.drawing.columns import char_width, cut_to, display_width
from crewjobs.drawing.shapes import Box, Drawing, Fill, Line, Polygon, Says, Shape, Tile, Words, inside

HATCHES: Final[dict[Fill, str]] = {
    Fill.WORKED: "▒",
    Fill.CURES: "x",
    Fill.LAID: "=",
    Fill.LATER: "·",
    Fill.KEPT: " ",
    Fill.PASSED: "'",
    Fill.UNUSED: "/",
    Fill.WAY: ":",
    Fill.PIECE: " ",
    Fill.WHOLE: " ",
    Fill.CUT: "▒",
    Fill.CUT_ALONE: "▒",
    Fill.CUT_ONWARD: "▒",
}
"""What a place is filled with."""
SCALES: Final = (4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 24, 28, 32, 40, 48, 64, 96, 128, 192, 256, 384, 512)
"""Inches to a column, largest drawing first."""
USUAL: Final = 6
"""Inches to a column where there are lines enough."""
COARSEST: Final = 12
"""Inches to a column beyond which a drawing is not made smaller only to need fewer lines: pieces would be dots."""
_GAP: Final = 2
_LEAST: Final = 10
_BOX: Final = 3
"""Columns from which a piece has walls."""
_WALLS: Final = {
    (False, False): "┼",
    (True, False): "─",
    (False, True): "│",
}


class Run(NamedTuple):
    """Characters of one kind: ``wall``, ``hatch``, ``letter``, ``room``, ``words`` or none."""

    text: str
    kind: str = ""


class _Cell(NamedTuple):
    text: str
    kind: str


_BLANK: Final = _Cell(" ", "")
Row = list[_Cell]


def drawing_text(drawing: Drawing, width: int, lines: int | None = None) -> str:
    """Return the drawing with the key of its hatches, no line wider than `width` columns (at least 12).

    Args:
        drawing: what to paint.
        width: columns.
        lines: how many lines are wanted at most; more are used where the house needs them to be read.
    """
    painted = ["".join(run.text for run in row).rstrip() for row in paint(drawing, width, lines)]
    return "\n".join([*painted, *key(drawing, width)])


def key(drawing: Drawing, width: int) -> list[str]:
    """Return what the hatches that occur mean, in lines of at most `width` columns."""
    words = [f"{HATCHES[fill]} {fill.value}" for fill in drawing.fills if HATCHES[fill] != " "]
    return _wrapped(words, width, "   ")


def paint(drawing: Drawing, width: int, lines: int | None = None) -> list[list[Run]]:
    """Return the drawing in rows of runs, none wider than `width` columns."""
    fits = [scale for scale in SCALES if all(_columns(tile, scale) <= width for tile in drawing.tiles)] or [SCALES[-1]]
    wanted = [scale for scale in fits if scale >= USUAL or lines is not None] or fits[-1:]
    for scale in wanted:
        rows = _painted(drawing, width, scale)
        if lines is None or len(rows) <= lines or scale >= COARSEST:
            break
    return [_runs(row) for row in rows]


def _columns(tile: Tile, scale: int) -> int:
    """Return the columns a room takes with its walls."""
    return max(1, round(tile.inner[2] / scale)) + 2


def _painted(drawing: Drawing, width: int, scale: int) -> list[Row]:
    shapes: dict[int, list[Shape]] = defaultdict(list)
    for shape in drawing.shapes:
        shapes[shape.tile].append(shape)
    tiles = [_Tile(tile, shapes[number], scale, width).rows() for number, tile in enumerate(drawing.tiles)]
    rows: list[Row] = []
    for shelf in _shelves(tiles, width):
        if rows:
            rows.append([])
        for number in range(max(len(tile) for tile in shelf)):
            row: Row = []
            for tile in shelf:
                if row:
                    row += [_BLANK] * _GAP
                row += tile[number] if number < len(tile) else [_BLANK] * len(tile[0])
            rows.append(row)
    return rows


def _shelves(tiles: Sequence[list[Row]], width: int) -> Iterator[list[list[Row]]]:
    shelf: list[list[Row]] = []
    used = 0
    for tile in tiles:
        if shelf and used + _GAP + len(tile[0]) > width:
            yield shelf
            shelf, used = [], 0
        used += len(tile[0]) + (_GAP if shelf else 0)
        shelf.append(tile)
    if shelf:
        yield shelf


class _Tile:
    """Paints one room: head, walls with what is between them, then what is written below."""

    def __init__(self, tile: Tile, shapes: Sequence[Shape], scale: int, width: int) -> None:
        self.tile, self.shapes, self.scale = tile, shapes, scale
        self.left, self.top, wide, deep = tile.inner
        self.across = max(1, min(round(wide / scale), width - 2))
        self.down = max(1, round(deep / (2 * scale)))
        said = [_shown(one.text) for one in self._said(Says.ROOM, Says.OPENING)]
        widest = max((display_width(text) for text in said), default=0)
        self.width = min(width, max(self.across + 2, widest, _LEAST))
        self.cells = [[_BLANK] * self.across for _ in range(self.down)]
        self.filled = [[False] * self.across for _ in range(self.down)]
        self.owned: set[tuple[int, int]] = set()
        self.lost: list[str] = []

    def rows(self) -> list[Row]:
        """Return the tile's rows, all equally wide."""
        self._hatch()
        self._lines()
        for box in (shape for shape in self.shapes if isinstance(shape, Box) and shape.fill is Fill.WAY):
            self._way(box)
        for word in self._said(Says.LETTER):
            self._piece(word)
        for word in self._said(Says.LETTERS):
            self._letters(word)
        rows = [self._text(word.text, "room") for word in self._said(Says.ROOM)]
        rows += self._beside(list(self._said(Says.SECTION)))
        rows += self._walled()
        rows += self._below()
        return [row + [_BLANK] * (self.width - len(row)) for row in rows]

    def _said(self, *says: Says) -> Iterator[Words]:
        return (shape for shape in self.shapes if isinstance(shape, Words) and shape.says in says)

    def _column(self, x: float) -> int:
        return max(0, min(round((x - self.left) / self.scale), self.across))

    def _row(self, y: float) -> int:
        return max(0, min(round((y - self.top) / (2 * self.scale)), self.down))

    def _hatch(self) -> None:
        floors = [shape for shape in self.shapes if isinstance(shape, Polygon)]
        for row in range(self.down):
            y = self.top + (row + 0.5) * self.tile.inner[3] / self.down
            for column in range(self.across):
                x = self.left + (column + 0.5) * self.tile.inner[2] / self.across
                floor = next((one for one in floors if inside(one.corners, x, y)), None)
                if floor is not None:
                    self.filled[row][column] = True
                    self.cells[row][column] = _Cell(HATCHES[floor.fill], "hatch")

    def _lines(self) -> None:
        for line in (shape for shape in self.shapes if isinstance(shape, Line) and not shape.wall):
            column = min(self._column(line.start[0]), self.across - 1)
            for row in range(self.down):
                self.cells[row][column] = _Cell("┊", "wall")

    def _cells_of(self, shape: Box | Words) -> tuple[int, int, int, int]:
        """Return first column and row of a rectangle and those after its last, one cell at least."""
        left = min(self._column(shape.x), self.across - 1)
        top = min(self._row(shape.y), self.down - 1)
        right = max(self._column(shape.x + shape.width), left + 1)
        return left, top, right, max(self._row(shape.y + shape.depth), top + 1)

    def _way(self, box: Box) -> None:
        left, top, right, bottom = self._cells_of(box)
        for row in range(top, bottom):
            for column in range(left, right):
                self.cells[row][column] = _Cell(HATCHES[Fill.WAY], "hatch")

    def _piece(self, word: Words) -> None:
        """Paint a piece as a small box with its letter, or its letter alone where it is small or the cells are taken."""
        left, top, right, bottom = self._cells_of(word)
        text = _mark(word.text)
        cells = {(row, column) for row in range(top, bottom) for column in range(left, right)}
        floor = all(self.filled[row][column] for row, column in cells)
        if cells & self.owned or not floor or right - left < len(text):
            self._squeeze(text, word)
            return
        if right - left < max(_BOX, len(text) + 2):
            self._bar(text, word)
            return
        self.owned |= cells
        for number, line in enumerate(_boxed(text, right - left, bottom - top)):
            for column, char in enumerate(line):
                kind = "letter" if char.isalnum() else "wall"
                self.cells[top + number][left + column] = _Cell(char, kind)

    def _bar(self, text: str, word: Words) -> None:
        """Paint a piece too narrow for walls as a bar, its letter where it touches no other letter."""
        left, top, right, bottom = self._cells_of(word)
        row = next((row for row in range(top, bottom) if self._write(text, row, left)), None)
        if row is None:
            self._squeeze(text, word)
            return
        for cell in ((r, column) for r in range(top, bottom) for column in range(left, right)):
            if cell not in self.owned:
                self.owned.add(cell)
                self.cells[cell[0]][cell[1]] = _Cell("▪", "wall")

    def _squeeze(self, text: str, word: Words) -> None:
        """Write a letter into free cells at or next to its place; else it is written below the room."""
        left, top, right, bottom = self._cells_of(word)
        for row in range(top, bottom):
            for column in range(max(0, left - 1), min(right + 1, self.across - len(text) + 1)):
                if self._write(text, row, column):
                    return
        if text not in self.lost:
            self.lost.append(text)

    def _write(self, text: str, row: int, column: int) -> bool:
        cells = {(row, column + number) for number in range(len(text))}
        beside = {(row, column - 1), (row, column + len(text))}
        # Two letters that touch would be read as one mark.
        touches = any(self.cells[r][c].kind == "letter" for r, c in beside if 0 <= c < self.across)
        if cells & self.owned or touches or not all(self.filled[row][c] for _, c in cells):
            return False
        self.owned |= cells
        for number, char in enumerate(text):
            self.cells[row][column + number] = _Cell(char, "letter")
        return True

    def _letters(self, words: Words) -> None:
        """Write letters one after the other into a section, in lines in its middle."""
        left, top, right, bottom = self._cells_of(words)
        lines = _wrapped(_mark(words.text).split(" "), max(1, right - left - 2), " ")
        start = top + max(0, (bottom - top - len(lines)) // 2)
        for number, line in enumerate(lines):
            column = left + max(0, (right - left - len(line)) // 2)
            for text in line.split(" "):
                room = start + number < bottom and column + len(text) <= right
                if not (room and self._write(text, start + number, column)) and text not in self.lost:
                    self.lost.append(text)
                column += len(text) + 1
            for blank in range(left + max(0, (right - left - len(line)) // 2) - 1, column):
                if start + number < bottom and left <= blank < right and (start + number, blank) not in self.owned:
                    self.cells[start + number][blank] = _BLANK

    def _walled(self) -> list[Row]:
        """Return the cells with a wall around all that is floor, whatever shape it has."""
        rows: list[Row] = []
        for row in range(-1, self.down + 1):
            line: Row = []
            for column in range(-1, self.across + 1):
                if self._floor(row, column):
                    line.append(self.cells[row][column])
                elif self._wall(row, column):
                    line.append(_Cell(self._wall_sign(row, column), "wall"))
                else:
                    line.append(_BLANK)
            rows.append(line)
        return rows

    def _floor(self, row: int, column: int) -> bool:
        return 0 <= row < self.down and 0 <= column < self.across and self.filled[row][column]

    def _wall(self, row: int, column: int) -> bool:
        around = ((r, c) for r in (row - 1, row, row + 1) for c in (column - 1, column, column + 1))
        return not self._floor(row, column) and any(self._floor(r, c) for r, c in around)

    def _wall_sign(self, row: int, column: int) -> str:
        up, down = self._wall(row - 1, column), self._wall(row + 1, column)
        left, right = self._wall(row, column - 1), self._wall(row, column + 1)
        corners = {
            (False, True, False, True): "┌",
            (False, True, True, False): "┐",
            (True, False, False, True): "└",
            (True, False, True, False): "┘",
        }
        return corners.get((up, down, left, right)) or _WALLS.get((left or right, up or down), "┼")

    def _text(self, text: str, kind: str) -> Row:
        return _cells(cut_to(_shown(text), self.width), kind)

    def _beside(self, words: Sequence[Words]) -> list[Row]:
        """Return one row with each section's name above the section, cut to its width."""
        if not words:
            return []
        row: Row = [_BLANK] * self.width
        for word in words:
            left = self._column(word.x) + 1
            right = self._column(word.x + word.width) + 1
            left += left > 0 and row[min(left, self.width) - 1] != _BLANK  # a blank between two names
            text = cut_to(_shown(word.text), max(right - left, 1))
            start = left + max(0, (right - left - display_width(text)) // 2)
            for number, cell in enumerate(_cells(text, "words")):
                if start + number < self.width:
                    row[start + number] = cell
        return [row]

    def _below(self) -> list[Row]:
        doors = [_shown(word.text) for word in self._said(Says.OPENING)]
        lines = _wrapped(doors, self.width, " · ")
        if self.lost:
            lines += _wrapped(["also here:", *self.lost], self.width, " ")
        for note in self._said(Says.NOTE):
            lines += _wrapped(_shown(note.text).split(" "), self.width, " ")
        return [_cells(cut_to(line, self.width), "words") for line in lines]


def _boxed(text: str, width: int, depth: int) -> list[str]:
    """Return a piece in so many cells, its letter where the eye looks for it."""
    if depth == 1 and width < len(text) + 2:
        return [text.ljust(width, "▪")]
    inside = width - 2
    if depth == 1:
        return [f"[{text.center(inside)}]"]
    if depth == 2:
        return [f"┌{text.center(inside, '─')}┐", f"└{'─' * inside}┘"]
    middle = (depth - 1) // 2
    walls = [f"│{text.center(inside) if row == middle else ' ' * inside}│" for row in range(1, depth - 1)]
    return [f"┌{'─' * inside}┐", *walls, f"└{'─' * inside}┘"]


def _shown(text: str) -> str:
    """Return text with nothing in it that a terminal could act on."""
    return "".join(char if char.isprintable() else "·" for char in text)


def _mark(text: str) -> str:
    """Return marks with every character one column wide."""
    return "".join(char if char.isprintable() and char_width(char) == 1 else "·" for char in text)


def _cells(text: str, kind: str) -> Row:
    """Return text as cells: a wide character takes two, a mark none of its own."""
    row: Row = []
    for char in text:
        size = char_width(char)
        if size == 0 and row:
            row[-1] = _Cell(row[-1].text + char, kind)
        elif size:
            row.append(_Cell(char, kind))
            row += [_Cell("", kind)] * (size - 1)
    return row


def _wrapped(words: Sequence[str], width: int, between: str) -> list[str]:
    lines: list[str] = []
    for word in words:
        joined = f"{lines[-1]}{between}{word}" if lines else word
        if lines and display_width(joined) <= width:
            lines[-1] = joined
        else:
            lines.append(word)
    return lines


def _runs(row: Sequence[_Cell]) -> list[Run]:
    runs: list[Run] = []
    for cell in row:
        if runs and runs[-1].kind == cell.kind:
            runs[-1] = Run(runs[-1].text + cell.text, cell.kind)
        else:
            runs.append(Run(cell.text, cell.kind))
    return runs
