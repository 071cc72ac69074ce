"""`crewjobs ready N`: record that a house was asked for being ready, and what was answered."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from crewjobs.cli.named import Named
from crewjobs.cli.opening import open_office
from crewjobs.cli.printing import add_json, emit, said
from crewjobs.domain.errors import Refused
from crewjobs.domain.house_ready import READY_WORDS, ReadyItem

ITEMS = ", ".join(f"{item.value} ({READY_WORDS[item]})" for item in ReadyItem)


def arguments(command: ArgumentParser) -> None:
    """Declare who was asked and what was answered."""
    command.add_argument("number", type=int, metavar="N", help="the job's number")
    command.add_argument(
        "--asked", action=Named, default="", metavar="NAME", help="who was asked whether the house will be ready"
    )
    command.add_argument("--by", action=Named, default="", metavar="NAME", help="who answered (default: who was asked)")
    command.add_argument("--all", action="store_true", help="everything that is asked is so")
    command.add_argument("--item", nargs="+", default=[], metavar="ITEM", help=f"only this is so: {ITEMS}")
    command.add_argument("--not-ready", nargs="+", default=[], metavar="ITEM", help="this is not so")
    command.add_argument("--until", default="", metavar="MOMENT", help="with --not-ready: when it will be, 'thu 7:00'")
    command.add_argument("--since", default="", metavar="MOMENT", help="since when it is so, such as air running")
    command.add_argument("--at", default="", metavar="MOMENT", help="when, in the site's time (default: now)")
    add_json(command)


def run(args: Namespace) -> int:
    """Record asking, answering or both, and say how the house is then."""
    from crewjobs.services.asked.house_ready import Answers, read_items

    if args.all and args.item:
        raise Refused("say --all or --item, not both.")
    missing = read_items(args.not_ready)
    ready = tuple(item for item in ReadyItem if args.all and item not in missing) or read_items(args.item)
    given = Answers(ready=ready, not_ready=missing, by=args.by, until=args.until, since=args.since)
    if not ready and not missing and (args.until or args.since or args.by):
        raise Refused("say what was answered: --all, --item or --not-ready.")
    answers = given if ready or missing else None
    done = open_office(args).ready(args.number, asked=args.asked, answers=answers, at=args.at)
    return emit(args, done, lambda: said(done.sentence, done.then))
