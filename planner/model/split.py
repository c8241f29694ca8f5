"""How the well may be split into zones: barriers, joints, rules for shutting a zone later, wishes. Validated, in SI."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from planner.model.change import Trigger
from planner.model.quantity import Duration, Fraction, Length, Money, Of, Positive, PositiveLength

SignedMoneyPerLength = Annotated[float, Of("money per length")]
WishKind = Literal["seal", "blank", "screen"]


class SplitRecord(BaseModel):
    """Base of these records: frozen, unknown keys refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class GivenBarrier(SplitRecord):
    """A barrier that the user names, in place of those found between the layers."""

    top_md: Length
    base_md: Length


class Wish(SplitRecord):
    """A piece that has to be somewhere, or may not be. A seal may name its barrier ('Fern / Moss') instead of depths.

    Pinned: a seal inside the depths; blank or screen: all of the depths. Forbidden: nothing of it in the depths.
    """

    what: WishKind
    top_md: Length | None = None
    base_md: Length | None = None
    barrier: str = ""

    @property
    def words(self) -> str:
        """'seal in Fern / Moss'; depths are told by who shows them."""
        return f"{self.what} in {self.barrier}" if self.barrier else self.what


class ShutValue(SplitRecord):
    """What it is worth to be able to shut a sand, or all from one to another, on their own later."""

    sand: str
    to: str = Field(default="", description="last of several sands; none: this one alone")
    value: Money = Field(description="net present value, expected")


class PayValue(SplitRecord):
    """What screen is worth by length along the hole: over upper quarter, middle half and lower quarter of a sand."""

    sand: str
    upper: SignedMoneyPerLength
    middle: SignedMoneyPerLength
    lower: SignedMoneyPerLength


class Future(SplitRecord):
    """A what-if of the case that may come to pass, and its weight; without a name: the base."""

    what_if: str = ""
    weight: Positive = 1.0


class Split(SplitRecord):
    """How the well may be split into zones."""

    barriers: tuple[GivenBarrier, ...] = Field(default=(), description="none: gaps between the layers")
    barrier_length: PositiveLength = Field(default=3.0, description="shortest gap that counts as barrier")
    low_net: Fraction = Field(default=0.0, description="layers of this net-to-gross or less count as barrier")
    top_md: Length | None = Field(default=None, description="where the joints begin; none: below the hanger")
    base_md: Length | None = Field(default=None, description="deepest end of the string; none: one joint below the pay")
    pup_joint: PositiveLength | None = Field(default=None, description="length of short blank joints, to space out")
    most_seals: int | None = Field(default=None, ge=0, description="none: as many as there are barriers")
    most_cost: Money | None = Field(default=None, description="of elements and rig")
    trips: int = Field(default=1, ge=1, description="into the hole, to run and expand the string")
    trip_time: Duration = Field(default=0.0, description="rig time of each, beside economics.rig_time")
    cost_weight: Positive | None = Field(
        default=None, description="net present value of a unit of cost; none: from the base forecast, after tax"
    )
    rules: tuple[Trigger, ...] = Field(
        default=(Trigger(water_cut_above=0.8),), description="when a zone would be shut; the best of them counts"
    )
    futures: tuple[Future, ...] = Field(default=(Future(),), description="over which values are expected")
    values: tuple[ShutValue, ...] = Field(default=(), description="none: worked out by forecasts")
    pay: tuple[PayValue, ...] = Field(default=(), description="none: worked out by forecasts")
    pins: tuple[Wish, ...] = Field(default=(), description="pieces that have to be there")
    forbids: tuple[Wish, ...] = Field(default=(), description="pieces that may not be there")
