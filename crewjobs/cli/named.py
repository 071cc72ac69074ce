"""Options that take a name: an empty one is refused, since without the option more is meant, such as everybody."""

from __future__ import annotations

from argparse import Action, ArgumentError, ArgumentParser, Namespace
from typing import Any, Final

EMPTY: Final = "an empty name"
"""What of such an option is amiss; `crewjobs.cli.misuse` says it in a sentence."""


class Named(Action):
    """Keep a name as typed; that of a place on the line that nothing stands in is its default."""

    def __call__(
        self, _parser: ArgumentParser, namespace: Namespace, values: Any, _option_string: str | None = None
    ) -> None:
        """Keep the name.

        Raises:
            ArgumentError: it is empty.
        """
        if isinstance(values, str) and not values.strip():
            raise ArgumentError(self, EMPTY)
        setattr(namespace, self.dest, values)
