"""A record as plain rows of label and value, for a table."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from platewright.model.catalogue.base import Estimate, Record

__all__ = ["record_rows", "split_unit"]

_UNITS = {
    "1e-6_per_k": "1e-6/K",
    "m_mm": "m mm",
    "g_per_mm": "g/mm",
    "n_per_mm": "N/mm",
    "rpm_per_v": "rpm/V",
    "wh_kg": "Wh/kg",
    "g_cm3": "g/cm³",
    "kj_m2": "kJ/m²",
    "m_min": "m/min",
    "mm_min": "mm/min",
    "mm2": "mm²",
    "mm_per_in": "mm/in",
    "mohm": "mΩ",
    "mah": "mAh",
    "mpa": "MPa",
    "deg": "deg",
    "pct": "%",
    "awg": "AWG",
    "mm": "mm",
    "nm": "N m",
    "uf": "µF",
    "um": "µm",
    "wh": "Wh",
    "in": "in",
    "a": "A",
    "c": "°C",
    "g": "g",
    "n": "N",
    "v": "V",
    "w": "W",
}
_LAST = ("provenance", "source", "note")


def record_rows(record: Record) -> list[tuple[str, str]]:
    """Return a record as (label, value with unit) pairs: its kind and id first, where it is from last.

    Parameters
    ----------
    record : Record
        Any record.

    Returns
    -------
    list of (str, str)
        Fields without a value are left out.

    Examples
    --------
    >>> from platewright.model.catalogue import load_catalogue
    >>> rows = dict(record_rows(load_catalogue().nut("M3", "insert")))
    >>> rows["height max"], rows["standard"]
    ('4 mm', 'DIN 985 (1987)')
    """
    rows = [("kind", record.kind.replace("_", " ")), ("id", record.id)]
    names = [name for name in type(record).model_fields if name not in ("id", "origin", *_LAST)]
    for name in names:
        rows.extend(_rows(name, getattr(record, name)))
    for name in _LAST:
        rows.extend(_rows(name, getattr(record, name)))
    return [*rows, ("read from", record.origin)]


def split_unit(key: str) -> tuple[str, str]:
    """Split a key into its words and its unit.

    Examples
    --------
    >>> split_unit("mass_range_g")
    ('mass range', 'g')
    >>> split_unit("mass_g_per_mm")
    ('mass', 'g/mm')
    >>> split_unit("blades")
    ('blades', '')
    """
    suffix = next((s for s in _UNITS if key.endswith("_" + s)), None)
    words = key if suffix is None else key.removesuffix("_" + suffix)
    return words.replace("_", " "), _UNITS.get(suffix or "", "")


def _rows(key: str, value: Any) -> list[tuple[str, str]]:
    label, unit = split_unit(key)
    if value is None or value in ("", ()):
        return []
    if isinstance(value, dict):
        return [row for name, item in value.items() for row in _inner(label, unit, name, item)]
    if isinstance(value, BaseModel):
        return [
            (f"{label}: {name}", text)
            for field in type(value).model_fields
            for name, text in _rows(field, getattr(value, field))
        ]
    if isinstance(value, tuple):
        joint = " to " if "_range" in key else ", "
        return [(label, f"{joint.join(_text(item) for item in value)} {unit}".rstrip())]
    return [(label, f"{_text(value)} {unit}".rstrip())]


def _inner(label: str, unit: str, name: str, item: Any) -> list[tuple[str, str]]:
    if isinstance(item, Estimate):
        words, its_unit = split_unit(name)
        band = f" ({_text(item.band[0])} to {_text(item.band[1])})" if item.band[0] < item.band[1] else ""
        note = f" ({item.note})" if item.note else ""
        return [
            (words, f"{_text(item.typical)}{band} {its_unit}".rstrip()),
            (f"{words}: source", f"{item.provenance}; {item.source}{note}"),
        ]
    text = " to ".join(_text(part) for part in item) if isinstance(item, tuple) else _text(item)
    return [(f"{label}, {name.replace('_', ' ')}", f"{text} {unit}".rstrip())]


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) and abs(value) < 1e6 else str(value)
