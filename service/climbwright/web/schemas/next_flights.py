"""What a plan of test flights takes: an aeroplane, scenes in which it can fly, and the answer to be narrowed."""

from typing import Any

from marshmallow import ValidationError

from climbwright.answers.measures import MEASURES
from climbwright.web.schemas.aircraft import AircraftSchema
from climbwright.web.schemas.fields import Base, Choice, Count, Name, Nested
from climbwright.web.schemas.requests import Flown, scenes

__all__ = ["NextFlightsRequest"]


class NarrowSchema(Base):
    """The answer that the flights are to narrow."""

    measure = Choice(
        list(MEASURES),
        required=True,
        metadata={"description": "The measure to be narrowed.", "example": "best_climb_rate"},
    )
    loading = Name(metadata={"description": "Name of its loading, where there are several.", "example": "two-up"})
    condition = Name(
        metadata={"description": "Name of its condition, where there are several.", "example": "summer noon"}
    )


_NextFlightsScenes = Base.from_dict(
    {name: field for name, field in scenes().items() if name not in ("measures", "targets")}, name="NextFlightsScenes"
)


class NextFlightsRequest(Flown, _NextFlightsScenes):  # type: ignore[valid-type,misc]
    """An aeroplane, the loadings and conditions in which it can be flown, and what is to be narrowed."""

    aircraft = Nested(AircraftSchema(), required=True, metadata={"description": "The aeroplane, as far as known."})
    narrow = Nested(NarrowSchema(), required=True, metadata={"description": "The answer to be narrowed."})
    flights = Count(
        least=1, most=12, load_default=4, metadata={"description": "How many flights to propose at most.", "example": 4}
    )

    def check(self, data: dict[str, Any]) -> None:
        """A loading and a condition that there are."""
        super().check(data)
        for name, members in (("loading", data["loadings"]), ("condition", data["conditions"])):
            known = [member.name for member in members]
            wanted = data["narrow"].get(name)
            if wanted is None and len(known) > 1:
                raise ValidationError({"narrow": {name: [f"name one of {', '.join(known)}"]}})
            if wanted is not None and wanted not in known:
                raise ValidationError({"narrow": {name: [f"there is none: use one of {', '.join(known)}"]}})
