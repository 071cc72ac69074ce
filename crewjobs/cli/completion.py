"""`crewjobs completion bash|zsh|fish`: the lines that teach a shell to complete commands, options, jobs and crews."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.printing import add_json, emit

SHELLS = ("bash", "zsh", "fish")


def arguments(command: ArgumentParser) -> None:
    """Declare the shell."""
    command.add_argument("shell", choices=SHELLS, help="which shell")
    add_json(command)


def run(args: Namespace) -> int:
    """Print the lines, for the shell's own start file."""
    from argcomplete.shell_integration import shellcode

    script = shellcode(["crewjobs"], shell=args.shell)
    return emit(args, {"shell": args.shell, "script": script}, lambda: script)
