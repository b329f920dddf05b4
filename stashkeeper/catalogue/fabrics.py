"""Fabrics: adding and changing them."""

import uuid
from collections.abc import Iterable
from typing import Any, TypedDict, Unpack

from sqlmodel import Session

from stashkeeper.catalogue.history import Deed
from stashkeeper.catalogue.names import clean_name, clean_notes, clean_optional, clean_tags
from stashkeeper.catalogue.tables import Fabric
from stashkeeper.errors import NotFoundError
from stashkeeper.lengths.length import Length


class FabricDetails(TypedDict, total=False):
    """What may be said of a fabric beside its name; what is left out stays as it is.

    `cost` is in hundredths of the owner's money; `repeat` is the length of one print repeat.
    """

    fibre: str | None
    flannel: bool
    tags: Iterable[str]
    source: str | None
    cost: int | None
    print_direction: str | None
    repeat: Length | None
    notes: str


class FabricChanges(FabricDetails, total=False):
    """What may be changed of a fabric."""

    name: str


def add_fabric(deed: Deed, name: str, **details: Unpack[FabricDetails]) -> Fabric:
    """Add a fabric.

    Raises:
        BadNameError: the name, a tag or a note is empty, too long, or cannot be shown.
    """
    changes: FabricChanges = {"name": name, **details}
    return deed.add(Fabric(**_cleaned(changes)))


def change_fabric(
    deed: Deed,
    fabric: Fabric,
    *,
    expected_version: int | None = None,
    **changes: Unpack[FabricChanges],
) -> bool:
    """Change a fabric; return whether anything really changed.

    Raises:
        BadNameError: as `add_fabric`.
        ChangedMeanwhileError: somebody changed it after `expected_version`.
    """
    return deed.change(fabric, expected_version, **_cleaned(changes))


def fabric_by_id(session: Session, fabric_id: uuid.UUID) -> Fabric:
    """Return a fabric by its key.

    Raises:
        NotFoundError: there is none.
    """
    fabric = session.get(Fabric, fabric_id)
    if fabric is None:
        raise NotFoundError(
            f"There is no fabric “{fabric_id}”.", "Look at the list for those there are."
        )
    return fabric


def _cleaned(changes: FabricChanges) -> dict[str, Any]:
    cleaned: dict[str, Any] = dict(changes)
    if "name" in changes:
        cleaned["name"] = clean_name(changes["name"])
    if "tags" in changes:
        cleaned["tags"] = clean_tags(changes["tags"])
    if "notes" in changes:
        cleaned["notes"] = clean_notes(changes["notes"])
    for key in ("fibre", "source", "print_direction"):
        if key in cleaned:
            cleaned[key] = clean_optional(cleaned[key], key.replace("_", " "))
    return cleaned
