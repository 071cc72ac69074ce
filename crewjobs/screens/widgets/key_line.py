"""The bottom line: what can be done here, by key or by click; what does not fit is behind ``? help``."""

from __future__ import annotations

from textual.binding import ActiveBinding
from textual.reactive import reactive

from crewjobs.screens.drawing import Line, Piece, Target, cell_len
from crewjobs.screens.widgets.drawn import Drawn

_LAST = "question_mark"
_MORE_CELLS = 2
"""What `+12` takes beyond the blanks at the end of the line."""


def shown_bindings(bindings: dict[str, ActiveBinding]) -> list[ActiveBinding]:
    """The bindings that are told to people: one for each action, the screen's own before the app's."""
    seen: dict[str, ActiveBinding] = {}
    for active in bindings.values():
        if active.binding.show and active.enabled:
            seen.setdefault(active.binding.action, active)
    return sorted(seen.values(), key=lambda active: active.node is active.node.app)


class KeyLine(Drawn):
    """Keys and what they do; each can be clicked."""

    resting = reactive(False)
    """Whether none does anything yet, since there is no shop: what can be done is asked above it."""
    enter = reactive("")
    """What Enter does with what is selected, where that is something else than its binding says."""

    def on_mount(self) -> None:
        """Follow what has the focus: in a field other keys count."""
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.refresh())

    def draw(self, width: int) -> list[Line]:
        """As many as fit, help always last."""
        if self.resting:
            return [[]]
        chosen = shown_bindings(self.screen.active_bindings)
        last = [active for active in chosen if active.binding.key == _LAST]
        rest = [active for active in chosen if active.binding.key != _LAST]
        room = width - 1 - sum(self._cells(active) for active in last)
        if sum(self._cells(active) for active in rest) > room:
            room -= _MORE_CELLS
        line: Line = [Piece(" ")]
        left = len(rest)
        for active in rest:
            room -= self._cells(active)
            if room < 0:
                break
            line += self._pieces(active)
            left -= 1
        for active in last:
            line += self._pieces(active)
            if left:
                line[-1:] = [Piece(f" +{left}", "muted", active.binding.key)]
        if not chosen:
            # In a field all other keys are text.
            line += [Piece("Esc", "key", "escape"), Piece(" close", "muted", "escape")]
        return [line]

    def _cells(self, active: ActiveBinding) -> int:
        return sum(cell_len(piece.text) for piece in self._pieces(active))

    def _pieces(self, active: ActiveBinding) -> Line:
        target = active.binding.key
        key = self.app.get_key_display(active.binding)
        does = (target == "enter" and self.enter) or active.binding.description
        return [Piece(key, "key", target), Piece(f" {does}", "muted", target), Piece("  ")]

    def clicked(self, target: Target) -> None:
        """Do what the key does."""
        active = self.screen.active_bindings.get(str(target))
        if active is not None:
            self.run_worker(self.app.run_action(active.binding.action, active.node), exit_on_error=True)
