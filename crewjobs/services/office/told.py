"""Refusals of measures told in the units of the shop: engines say them in inches, whoever asks."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar

from crewjobs.domain.errors import Refused
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
            if type(refused) is not Refused or (units := office.units()) == "us":
                raise
            raise Refused([told_in(sentence, units) for sentence in refused.sentences]) from None

    return in_units
