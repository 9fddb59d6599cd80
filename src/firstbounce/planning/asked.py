"""What a player can say of a station within a minute, when nothing was measured."""

from __future__ import annotations

from dataclasses import dataclass, field

from firstbounce.errors import CannotPlan
from firstbounce.ground.conditions import GreenToday, SpeedWord
from firstbounce.ground.firmness import FirmnessWord
from firstbounce.ground.ground import Ground
from firstbounce.ground.slopes import SlopeWord, slope_of_word
from firstbounce.ground.surface import Bounds, Plane
from firstbounce.players.clubs import Bag, usual_bag
from firstbounce.players.player import Hand
from firstbounce.words import Level, Lie, LieKind, Point, Station, TurfKind

BEYOND_M = 6.0  #: green behind the hole when nobody looked [choice]
HALF_WIDTH_M = 9.0  #: half the width of that green [choice]
ACROSS_SD = 0.01  #: slope across the line that is left after aiming by eye, rise over run [choice]

#: What a ball lands and rolls on short of the green, by what it lies on.
_AROUND: dict[LieKind, TurfKind] = {
    LieKind.GREEN: TurfKind.GREEN,
    LieKind.FRINGE: TurfKind.FRINGE,
    LieKind.LIGHT_ROUGH: TurfKind.LIGHT_ROUGH,
    LieKind.HEAVY_ROUGH_UP: TurfKind.HEAVY_ROUGH,
    LieKind.HEAVY_ROUGH_DOWN: TurfKind.HEAVY_ROUGH,
    LieKind.BARE: TurfKind.BARE,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Unmeasured:
    """All that a player can say within a minute; everything else is what is usual."""

    level: Level
    to_edge_m: float  #: ball to the edge of the green
    edge_to_hole_m: float  #: edge to the hole
    lie: Lie = field(default_factory=Lie)
    slope: SlopeWord | None = SlopeWord.LEVEL  #: None: nobody looked
    speed: SpeedWord | None = None
    firmness: FirmnessWord | None = None
    hand: Hand = Hand.RIGHT
    bag: Bag = field(default_factory=usual_bag)

    def __post_init__(self) -> None:
        if not (0 <= self.to_edge_m <= 50 and 0.5 <= self.edge_to_hole_m <= 50):
            raise CannotPlan(
                "From ball to edge must be 0 to 50 m and from edge to hole 0.5 to 50 m,"
                f" got {self.to_edge_m:g} and {self.edge_to_hole_m:g} m."
            )

    @property
    def station(self) -> Station:
        hole = Point(0.0, self.to_edge_m + self.edge_to_hole_m)
        return Station(name="here", start=Point(0.0, 0.0), hole=hole, lie=self.lie)

    @property
    def ground(self) -> Ground:
        """A plane with what is not known of its slope; the lie's own grass up to the green."""
        slope = slope_of_word(self.slope)
        far = self.to_edge_m + self.edge_to_hole_m + BEYOND_M
        plane = Plane.of_gradient(
            (0.0, slope.value / 100),
            gradient_cov=((ACROSS_SD**2, 0.0), (0.0, (slope.sd / 100) ** 2)),
        )
        w, edge = HALF_WIDTH_M, self.to_edge_m
        return Ground(
            surface=plane,
            outline=((-w, edge), (w, edge), (w, far), (-w, far)),
            around=turf_short_of_green(self.lie.kind),
            bounds=Bounds(-30.0, 30.0, -12.0, far + 25.0),
        )

    @property
    def today(self) -> GreenToday:
        return GreenToday.of_words(self.speed, self.firmness, wet=self.lie.wet)


def turf_short_of_green(lie: LieKind) -> TurfKind:
    """What lies between the ball and the green, by what the ball lies on."""
    return _AROUND.get(lie, TurfKind.FAIRWAY)
