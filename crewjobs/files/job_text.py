"""A job written as a file that `read_job` reads back as the very same job; what is usual is left out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import MISSING, fields
from typing import Any

from crewjobs.domain.conditions import USUAL_SLAB
from crewjobs.domain.goods import GoodsLine
from crewjobs.domain.house import USUAL_THROAT, Layer, Opening, Room, Site, Stairs
from crewjobs.domain.job import Job
from crewjobs.domain.material import USUAL_ACCLIMATION_MIN, USUAL_CONDITIONS, USUAL_METHOD, Material, OrderLine
from crewjobs.domain.work import ExtraWork
from crewjobs.files.air_table import range_text
from crewjobs.files.furniture_table import piece_data
from crewjobs.files.hours import hours_table
from crewjobs.files.layout_table import coordinate_text, cut_out_data, flange_text, obstacle_data, point_data
from crewjobs.files.pattern_table import lengths_data
from crewjobs.files.toml_text import document, listed
from crewjobs.files.values import area_text, instant_value, length_text, tidy, wait_text


def write_job(job: Job) -> str:
    """Return a job as its file: the definition only, never history, never the private entry notes."""
    top = {
        "number": job.number or None,
        "title": job.title,
        "state": str(job.state),
        "wished": job.wished,
        "promised": job.promised,
        "weight": job.weight if job.weight != 1 else None,
        "callback_of": job.callback_of,
        "blocked": listed(job.blocked),
        "stages": _stages(job) or None,
        "starts": [_end(room, part) for room, part in job.starts] or None,
    }
    return document(top, _tables(job))


def part_text(room: str, section: str) -> str:
    """Return how a stage names a section: ``living: window half``, or ``living`` for a room floored whole."""
    return f"{room}: {section}" if section else room


def _tables(job: Job) -> Iterator[tuple[str, Mapping[str, object]]]:
    yield (
        "[customer]",
        {
            "name": job.customer.name,
            "phone": job.customer.phone or None,
            "mail": job.customer.mail or None,
        },
    )
    yield "[site]", _site(job.site)
    for room in job.rooms:
        yield "[[room]]", _room(room)
    for opening in job.openings:
        yield "[[opening]]", _opening(opening)
    for stairs in job.stairs:
        yield "[[stairs]]", _stairs(stairs)
    for material in job.materials:
        yield "[[material]]", _material(material)
    for order in job.orders:
        yield "[[order]]", _order(order, job.material(order.material).is_sheet, job.site.zone)
    for line in job.goods:
        yield "[[order]]", _goods(line, job.site.zone)
    for entry in job.work:
        yield "[[work]]", _work(entry)


def _stages(job: Job) -> list[list[object]]:
    return [[_end(room, part) for room, part in stage] for stage in job.stages]


def _end(room: str, part: str) -> object:
    return {"room": room, "section": part} if ": " in room else part_text(room, part)


def _unusual(value: Any, *names: str) -> dict[str, object]:
    """Return the named fields of a value, None (left out of the file) where they are as usual."""
    usual = {field.name: field.default for field in fields(value) if field.default is not MISSING}
    found = {name: getattr(value, name) for name in names}
    return {name: None if name in usual and usual[name] == item else _plain(item) for name, item in found.items()}


def _plain(item: object) -> object:
    return str(item) if isinstance(item, str) else item


def _site(site: Site) -> dict[str, object]:
    names = [field.name for field in fields(site) if field.name not in ("hours", "elevator", "entry_notes")]
    return {
        **_unusual(site, *names),
        "hours": None if site.hours is None else hours_table(site.hours),
        "elevator": None if site.elevator is None else hours_table(site.elevator),
    }


def _room(room: Room) -> dict[str, object]:
    size = room.outline.size
    if room.outline.is_rectangle:
        shape: dict[str, object] = {"length": length_text(size[0]), "width": length_text(size[1])}
    else:
        shape = {"corners": [point_data(corner) for corner in room.outline.corners]}
    return {
        "name": room.name,
        **shape,
        "sections": [{"name": name, "length": length_text(length)} for name, length in room.cuts] or None,
        **_unusual(room, "storey"),
        "layers": _layers(room.layers),
        **_unusual(room, "subfloor", "floor"),
        "level": area_text(room.level_ft2) if room.level_ft2 else None,
        "patch": area_text(room.patch_ft2) if room.patch_ft2 else None,
        "plywood": room.add_plywood or None,
        **_unusual(room, "pad", "trim", "painted_trim"),
        "fixtures": {str(fixture.kind): fixture.count for fixture in room.fixtures} or None,
        "furniture": [piece_data(piece) for piece in room.furniture] or None,
        **_unusual(room, "keeps", "power", "joists", "rows", "start_wall", "window_wall"),
        "obstacles": [obstacle_data(one) for one in room.obstacles] or None,
        "cut_outs": [cut_out_data(one) for one in room.cut_outs] or None,
        "flange": None if room.flange is None else flange_text(room.flange),
        "under_counter": None if room.under_counter is None else length_text(room.under_counter),
    }


def _layers(layers: Sequence[Layer]) -> list[object] | None:
    return [
        str(layer.covering) if layer.year is None and layer.thickness is None else _layer(layer) for layer in layers
    ] or None


def _layer(layer: Layer) -> dict[str, object]:
    return {
        "covering": str(layer.covering),
        **({"year": layer.year} if layer.year is not None else {}),
        **({"thickness": coordinate_text(layer.thickness)} if layer.thickness is not None else {}),
    }


def _opening(opening: Opening) -> dict[str, object]:
    return {
        "between": [_end(name, part) for name, part in zip(opening.between, opening.parts, strict=True)],
        "width": length_text(opening.width),
        **_unusual(opening, "door", "transition", "rated"),
        "distance": length_text(opening.distance) if opening.distance is not None else None,
        **_unusual(opening, "steps"),
        "walls": [*opening.walls] if any(opening.walls) else None,
        "offsets": point_data(opening.offsets) if any(opening.offsets) else None,
        "throat": None if opening.throat == USUAL_THROAT else coordinate_text(opening.throat),
        **_unusual(opening, "which"),
        "gap": None if opening.gap is None else coordinate_text(opening.gap),
    }


def _stairs(stairs: Stairs) -> dict[str, object]:
    return {
        **_unusual(stairs, "name", "steps", "flights", "open_ends"),
        "layers": _layers(stairs.layers),
        **_unusual(stairs, "floor"),
        "width": None if stairs.width is None else length_text(stairs.width),
        "between": [*stairs.between] or None,
    }


def _material(material: Material) -> dict[str, object]:
    usual_wait = material.acclimation_min == USUAL_ACCLIMATION_MIN[material.kind]
    return {
        "name": material.name,
        "kind": str(material.kind),
        "method": None if material.method == USUAL_METHOD[material.kind] else str(material.method),
        **_size(material),
        "carton_lb": material.carton_lb,
        "acclimation": None if usual_wait else wait_text(material.acclimation_min),
        "planks": material.in_carton,
        **{key: None if size is None else coordinate_text(size) for key, size in _rules(material)},
        "pail": None if material.pail_ft2 is None else area_text(material.pail_ft2),
        **_unusual(material, "pattern"),
        "lengths": lengths_data(material.lengths),
        "joint": None if material.joint is None else coordinate_text(material.joint),
        "thickness": None if material.thickness is None else length_text(material.thickness),
        **_unusual(material, "species", "cut"),
        **_air(material),
        **_slab(material),
    }


def _air(material: Material) -> dict[str, object]:
    """Return what a material asks of the air where that is not as usual."""
    asks, usual = material.asks, USUAL_CONDITIONS[material.kind]
    return {
        "temperature": None if asks.temperature == usual.temperature else range_text(asks.temperature),
        "humidity": None if asks.humidity == usual.humidity else range_text(asks.humidity),
        "outside": None if asks.outside is usual.outside else str(asks.outside),
    }


def _slab(material: Material) -> dict[str, object]:
    """Return what a material allows of a slab where that is not as usual."""
    limits = material.slab_limits
    return {
        "slab_rh": None if limits.rh == USUAL_SLAB.rh else tidy(limits.rh),
        "slab_vapor": None if limits.vapor == USUAL_SLAB.vapor else tidy(limits.vapor),
        "slab_ph": None if limits.ph == USUAL_SLAB.ph else tidy(limits.ph),
    }


def _rules(material: Material) -> tuple[tuple[str, int | None], ...]:
    return ("shortest", material.shortest), ("stagger", material.stagger), ("gap", material.gap)


def _size(material: Material) -> dict[str, object]:
    if material.is_sheet:
        repeat = None if material.repeat is None else length_text(material.repeat)
        return {
            "roll": length_text(material.plank_width),
            "repeat": repeat,
            "fill": None if material.fill == 1 else material.fill,
        }
    length = (
        "" if material.lengths else f" x {length_text(material.plank_length)}"
    )  # that is the longest of the lengths
    return {
        "plank": f"{length_text(material.plank_width)}{length}",
        "carton": area_text(material.carton_ft2),
    }


def _order(order: OrderLine, sheet: bool, zone: str) -> dict[str, object]:
    return {
        "material": order.material,
        "feet" if sheet else "cartons": order.cartons,
        **_unusual(order, "supplier", "ordered"),
        "due": None if order.due is None else instant_value(order.due, zone),
        **_unusual(order, "special"),
    }


def _goods(line: GoodsLine, zone: str) -> dict[str, object]:
    return {
        **_unusual(line, "goods", "count", "place", "supplier", "ordered"),
        "due": None if line.due is None else instant_value(line.due, zone),
        **_unusual(line, "special"),
    }


def _work(entry: ExtraWork) -> dict[str, object]:
    quarters, rest = divmod(entry.minutes, 15)
    return {
        "what": str(entry.what),
        "where": str(entry.place) if entry.place else None,
        "hours": (quarters // 4 if quarters % 4 == 0 else quarters / 4) if not rest else None,
        "minutes": entry.minutes if rest else None,
        **_unusual(entry, "people", "needs", "under"),
    }
