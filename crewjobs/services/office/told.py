"""Refusals of measures told in the units of the shop: engines say them in inches, whoever asks."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from crewjobs.domain.errors import OnHold, Refused
from crewjobs.domain.metric_words import told_in

if TYPE_CHECKING:
    from crewjobs.services.office.base import OfficeBase

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")
Face = TypeVar("Face", bound="OfficeBase")


def refused_in_units(
    method: Callable[Concatenate[Face, Asked], Answer],
) -> Callable[Concatenate[Face, Asked], Answer]:
    """Have what a method of the office refuses said in metric in a metric shop; what was typed stays as typed."""

    @wraps(method)
    def in_units(office: Face, /, *args: Asked.args, **kwargs: Asked.kwargs) -> Answer:
        try:
            return method(office, *args, **kwargs)
        except Refused as refused:
            raise in_units_of(office, refused) from None

    return in_units


def in_units_of(office: OfficeBase, refused: Refused) -> Refused:
    """Return a refusal as the shop says it; what was typed stays as typed."""
    if type(refused) not in (Refused, OnHold) or (units := office.units()) == "us":
        return refused
    told = [told_in(sentence, units) for sentence in refused.sentences]
    if isinstance(refused, OnHold):
        return OnHold(told, what=refused.what, why=told_in(refused.why, units))
    return Refused(told)
