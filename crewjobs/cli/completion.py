"""`crewjobs completion bash|zsh|fish`: the lines that teach a shell to complete commands, options, jobs and crews."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.printing import add_json, emit

SHELLS = ("bash", "zsh", "fish")

# A zsh without a start file of its own has not loaded its completion system, and `compdef` is no command there yet.
ZSH_FIRST = """#compdef crewjobs
(( $+functions[compdef] )) || { autoload -Uz compinit && compinit; }
"""


def arguments(command: ArgumentParser) -> None:
    """Declare the shell."""
    command.add_argument("shell", choices=SHELLS, metavar="SHELL", help=f"which shell: {', '.join(SHELLS)}")
    add_json(command)


def run(args: Namespace) -> int:
    """Print the lines, for the shell's own start file."""
    from argcomplete.shell_integration import shellcode

    script = shellcode(["crewjobs"], shell=args.shell)
    if args.shell == "zsh":
        script = ZSH_FIRST + script.removeprefix("#compdef crewjobs\n")
    return emit(args, {"shell": args.shell, "script": script}, lambda: script)
