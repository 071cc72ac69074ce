"""A shell completes a line: asked as the shell asks, by the lines that `crewjobs completion` prints."""

from __future__ import annotations

import os
import pty
import select
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

ASK = """
eval "$(crewjobs completion bash)"
while IFS= read -r COMP_LINE; do
  COMP_POINT=${#COMP_LINE}; COMP_TYPE=9; COMPREPLY=()
  _python_argcomplete crewjobs
  printf '%s|' "${COMPREPLY[@]}"; printf '\\n'
done
"""
FORKING = """
import os, sys
import crewjobs.cli.completing  # loaded once for all lines
from crewjobs.cli.main import run
for line in sys.stdin.read().splitlines():
    out, into = os.pipe()
    if not os.fork():
        os.dup2(into, 8)
        os.dup2(2, 9)
        os.environ.update(COMP_LINE=line, COMP_POINT=str(len(line.encode())), COMP_TYPE="9", _ARGCOMPLETE="1")
        os.environ.update(_ARGCOMPLETE_COMP_WORDBREAKS=" :=", _ARGCOMPLETE_SHELL="bash", _ARGCOMPLETE_IFS="|")
        run()
    os.close(into)
    with os.fdopen(out) as answer:
        print(answer.read(), flush=True)
    os.wait()
"""
"""Asks the program for each line as a shell's function does, each in a process of its own that has loaded the program already."""
LINES = {
    "crewjobs export ": {"jobs", "hours", "material"},
    "crewjobs what": {"what-if"},
    "crewjobs export jobs --f": {"--from"},
    "crewjobs --db {db} heights 1": {"1", "10", "11", "12", "14", "15"},
    "crewjobs tick --db {db} 14 2": {"20", "21", "22"},
    "crewjobs --db {db} furniture 5 fr": {"front room"},
    "crewjobs calendar --db {db} --crew Ce": {"Cedar"},
    "crewjobs --db {db} away Maeve": {"Maeve Ostrow"},
    "crewjobs --db {db}.none job ": set(),
    "crewjobs visit --db {db} 8 ": {
        *("measuring", "site-check", "carry-in", "reading", "walk-through", "punch-list", "callback")
    },
    "crewjobs visit --db {db} 8 measuring --who Ad": {"Adela Whitcomb"},
    "crewjobs amend --db {db} 1 --state ": {"asked", "quoted", "booked", "done", "closed", "called off"},
    "crewjobs ready --db {db} 1 --item ": {"air", "paint", "emptied", "power", "key"},
    "crewjobs day-plan to": {"today", "tomorrow"},
    "crewjobs day-plan --db {db} tomorrow --crew A": {"Adela Whitcomb"},
    "crewjobs --db {db} arrived 6 ": {"field laminate", "pad"},
    "crewjobs --db {db} back-ordered 6 fi": {"field laminate"},
    "crewjobs --db {db} returned 6 ": {"field laminate"},
    "crewjobs --db {db} what-if --late 6 f": {"field laminate"},
    "crewjobs --db {db} what-if --late 6 'field laminate' tom": {"tomorrow"},
    "crewjobs --db {db} what-if --off Ma": {"Maeve Ostrow"},
    "crewjobs --db {db} what-if --crew Alder like Ce": {"Cedar"},
    "crewjobs --db {db} what-if --visit 1": {"1", "10", "11", "12", "14", "15"},
    "crewjobs --db {db} what-if --visit 4 tom": {"tomorrow"},
    "crewjobs --db {db} what-if --visit 4 tue ": {"of", "to"},
    "crewjobs --db {db} what-if --visit 4 tue to Ce": {"Cedar"},
    "crewjobs --db {db} what-if --visit 4 tue of Birch to Ce": {"Cedar"},
    "crewjobs --db {db} what-if --visit 4 tue of Birch to Cedar tom": {"tomorrow"},
    "crewjobs --db {db} found 3 ki": {"kitchen"},
    "crewjobs --db {db} found 3 kitchen r": {"rot"},
    "crewjobs --db {db} found 3 kitchen hump --way ": {"leveled", "accepted"},
    "crewjobs --db {db} reading 6 ": {
        *("air", "boards", "subfloor", "surface", "slab-rh", "slab-vapor", "slab-ph", "flatness")
    },
    "crewjobs figure dew": {"dew-point"},
    "crewjobs figure dew-point t": {"temp="},
    "crewjobs money 1 ": {"deposit", "asked", "received"},
    "crewjobs tick 10 --phase in": {"install"},
    "crewjobs --db {db} promised 3 ": {"plumber", "laboratory"},
    "crewjobs --db {db} chased 3 ": {"plumber", "laboratory"},
    "crewjobs --db {db} came 6 ": {"painter"},
    "crewjobs ask 6 in": {"inspector"},
    "crewjobs --db {db} notice 13": {"13"},
    "crewjobs --db {db} notice 1": {"1", "10", "11", "12", "13", "14", "15"},
    "crewjobs --db {db} notice ": set(map(str, range(1, 16))),
    "crewjobs --db {db} calendar --job 13": {"13"},
    "crewjobs import x.csv --map Client=cu": {"customer"},
    "crewjobs --db {db} rates --": {"--job", "--pin", "--unpin", "--json", "--help", "--db", "--now"},
}

BY_BASH = (
    "crewjobs what",
    "crewjobs export jobs --f",
    "crewjobs --db {db} furniture 5 fr",
    "crewjobs --db {db}.none job ",
    "crewjobs figure dew-point t",
)


def environment(tmp_path: Path) -> dict[str, str]:
    return {
        **os.environ,
        "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}",
        "HOME": str(tmp_path),
    }


def completed(lines: Iterable[str], words: list[str], db: Path, folder: Path) -> dict[str, set[str]]:
    asked = "\n".join(line.format(db=db) for line in lines) + "\n"
    done = subprocess.run(words, input=asked, capture_output=True, text=True, env=environment(folder), check=True)
    found = [
        {word.replace("\\", "").strip() for word in line.split("|") if word.strip()}
        for line in done.stdout.splitlines()
    ]
    return dict(zip(lines, found, strict=True))


def test_commands_options_and_names_are_completed(demo_made, tmp_path):
    """Jobs, open tasks, crews, people and rooms come from the database; where there is none, nothing does."""
    assert completed(LINES, [sys.executable, "-c", FORKING], demo_made, tmp_path) == LINES


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_completes(demo_made, tmp_path):
    """By the lines for it: a command, an option, a name with a space in it, nothing, and a word with a sign that breaks words."""
    asked = {line: LINES[line] for line in BY_BASH}
    assert completed(asked, ["bash", "-c", ASK], demo_made, tmp_path) == asked


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_lines_are_ones_the_shell_takes(run, shell, tmp_path):
    """Read without being run, where the shell is there."""
    script = run("completion", shell).out
    assert "crewjobs" in script
    if shutil.which(shell) is None:
        pytest.skip(f"no {shell} here")
    file = tmp_path / "lines"
    file.write_text(script, encoding="utf-8")
    assert subprocess.run([shell, "-n", file], capture_output=True, text=True).stderr == ""


@pytest.mark.skipif(shutil.which("fish") is None, reason="no fish here")
def test_fish_completes_a_job(demo_made, tmp_path):
    """As fish asks."""
    code = f'crewjobs completion fish | source; complete -C "crewjobs --db {demo_made} heights 1"'
    done = subprocess.run(["fish", "-c", code], capture_output=True, text=True, env=environment(tmp_path), check=True)
    assert {line.split("\t")[0] for line in done.stdout.splitlines()} == LINES["crewjobs --db {db} heights 1"]


@pytest.mark.skipif(shutil.which("zsh") is None, reason="no zsh here")
@pytest.mark.parametrize("first", ["", "autoload -Uz compinit && compinit -u -D; "], ids=["bare", "loaded"])
def test_zsh_completes_a_command(tmp_path, first):
    """At a terminal of its own, in a shell that loaded its completion before and in one that did not."""
    ours, theirs = pty.openpty()
    environ = {**environment(tmp_path), "TERM": "dumb", "PS1": "$ "}
    shell = subprocess.Popen(["zsh", "-f", "-i"], stdin=theirs, stdout=theirs, stderr=theirs, env=environ)
    try:
        steps = [
            (f'{first}eval "$(crewjobs completion zsh)"; print re${{:-ady}}\n', "ready"),
            ("crewjobs day-pl\t", "day-plan"),
        ]
        for typed, answered in [*steps, ("tomor\t", "tomorrow")]:
            os.write(ours, typed.encode())
            seen = ""
            while answered not in seen:
                assert select.select([ours], [], [], 60)[0], seen
                seen += os.read(ours, 4096).decode(errors="replace")
    finally:
        shell.kill()
        shell.wait()
        os.close(ours)
        os.close(theirs)


def test_no_shell_but_these(run):
    """Wrong usage names them."""
    ran = run("completion", "tcsh")
    assert ran.code == 2
    assert all(shell in ran.err for shell in ("bash", "zsh", "fish"))
