"""How the help of a command shows what its options take."""

from __future__ import annotations

import argparse


class Help(argparse.HelpFormatter):
    """Help in which what an option takes stands once, and an option that may be given again says so."""

    def _format_args(self, action: argparse.Action, default_metavar: str) -> str:
        # argparse shows such words as typed on and on behind one option; what is another one is another option.
        if _again(action) and action.nargs == argparse.ONE_OR_MORE and isinstance(action.metavar, str):
            return action.metavar
        return super()._format_args(action, default_metavar)

    def _get_help_string(self, action: argparse.Action) -> str | None:
        said = super()._get_help_string(action)
        if not said or not _again(action) or "repeated" in said:
            return said
        return f"{said}; may be repeated"


def _again(action: argparse.Action) -> bool:
    return isinstance(action, argparse._AppendAction)
