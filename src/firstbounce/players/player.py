"""A player: level, hand, bag, delivery, spread, mishits and putting; usual values by level, all editable."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.players.clubs import Bag, Club, usual_bag
from firstbounce.players.delivery import USUAL_EXTRA_LEAN, usual_attack_deg, usual_lean_deg
from firstbounce.players.mishits import MISHITS_OF_LEVEL, Mishits, StrikeNoise, Strikes, strikes_of
from firstbounce.players.skill import PUTTING_OF_LEVEL, PuttingSkill
from firstbounce.players.spread import SPREAD_OF_LEVEL, Spread
from firstbounce.words import Estimate, Level, LieKind


class Hand(StrEnum):
    """Which way round the player stands."""

    RIGHT = "right"
    LEFT = "left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Player:
    """Everything the shot and the plan need to know about one player."""

    name: str
    level: Level
    hand: Hand = Hand.RIGHT
    bag: Bag = field(default_factory=usual_bag)
    extra_lean_deg: Estimate = USUAL_EXTRA_LEAN  #: lean beyond the usual for the club, one number a player
    attack_deg: float | None = None  #: at every carry; None for the usual (-3 chips, -4 pitches)
    spread: Spread
    mishits: Mishits
    putting: PuttingSkill

    def lean_deg(self, club: Club, carry_m: ArrayLike) -> NDArray[np.float64]:
        """Forward shaft lean at impact [deg] with this club at this carry [m]."""
        return usual_lean_deg(club.loft_deg, carry_m) + self.extra_lean_deg.value

    def delivered_loft_deg(self, club: Club, carry_m: ArrayLike) -> NDArray[np.float64]:
        """Loft at impact [deg]: club loft less lean; attack is handled by the launch."""
        return club.loft_deg - self.lean_deg(club, carry_m)

    def attack_at_deg(self, carry_m: ArrayLike) -> NDArray[np.float64]:
        """Attack angle [deg], down negative, at this carry [m]."""
        usual = usual_attack_deg(carry_m)
        return usual if self.attack_deg is None else np.full_like(usual, self.attack_deg)

    def strikes(self, noise: StrikeNoise, carry_m: ArrayLike, lie: LieKind = LieKind.FAIRWAY) -> Strikes:
        """This player's strikes for noise drawn by the caller, at a carry [m] from a lie."""
        return strikes_of(
            noise,
            spread=self.spread,
            mishits=self.mishits,
            carry_m=carry_m,
            lie=lie,
            left_handed=self.hand is Hand.LEFT,
        )


def player_of_level(
    level: Level, *, name: str = "player", hand: Hand = Hand.RIGHT, bag: Bag | None = None
) -> Player:
    """A player of whom only the level is known: everything else is what is usual for it."""
    return Player(
        name=name,
        level=level,
        hand=hand,
        bag=usual_bag() if bag is None else bag,
        spread=SPREAD_OF_LEVEL[level],
        mishits=MISHITS_OF_LEVEL[level],
        putting=PUTTING_OF_LEVEL[level],
    )
