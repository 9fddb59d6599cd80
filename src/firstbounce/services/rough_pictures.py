"""A plan with nothing measured as pictures: what was paced is drawn as known, everything else as a range."""

from __future__ import annotations

import numpy as np

from firstbounce.pictures.chart import ChartPicture, chart_view
from firstbounce.pictures.green import GreenPicture, GroundArea, green_view
from firstbounce.pictures.side import SidePicture, side_view
from firstbounce.pictures.text import paces
from firstbounce.pictures.textures import Texture
from firstbounce.planning.asked import Unmeasured
from firstbounce.planning.rough import RoughChoice, RoughPlan
from firstbounce.planning.sentences import club_text
from firstbounce.services.pictures import ball_parts, bar_of, in_the_hole, landing_circle

KNOWN = "Only the two paced distances are known."
GUESSED = "green, its shape a guess"
EVERY_GREEN = "Dots are balls on every green, slope and player that are likely."


def rough_pictures(asked: Unmeasured, rough: RoughPlan) -> dict[str, str]:
    """The first choice from above and from the side, and the ranges of every choice, as SVG by name."""
    first = rough.choices[0]
    return {
        f"{first.choice.club} above": _above(asked, rough, first),
        f"{first.choice.club} side": _side(asked, rough, first),
        "ranges": _ranges(rough),
    }


def _above(asked: Unmeasured, rough: RoughPlan, first: RoughChoice) -> str:
    choice, ground = first.choice, asked.ground
    finishes = np.array(choice.cloud.finished).reshape(-1, 2)
    return green_view(
        GreenPicture(
            title=f"Nothing measured: {club_text(choice.club)}",
            start=asked.station.start,
            hole=asked.station.hole,
            areas=(GroundArea(words=GUESSED, outline=np.array(ground.outline), texture=Texture.SMOOTH),),
            around=str(ground.around),
            circle=landing_circle(choice),
            landings=None if choice.is_putt else np.array(choice.cloud.landed).reshape(-1, 2),
            finishes=finishes,
            holed=in_the_hole(finishes, asked.station),
            measure=paces(rough.pace_m),
            note=f"{rough.answer} {KNOWN} {EVERY_GREEN}",
        )
    )


def _side(asked: Unmeasured, rough: RoughPlan, first: RoughChoice) -> str:
    path = np.array([(point.x_m, point.y_m, point.z_m) for point in first.choice.path])
    profile = np.column_stack([path[:, 1], path[:, 2] - path[0, 2]])
    slope = profile[-1, 1] / profile[-1, 0]  # of the one likely green that this ball was played on
    far = np.array([-0.5, max(float(profile[-1, 0]), asked.to_edge_m + asked.edge_to_hole_m) + 1.5])
    low, high = first.run_paces
    runs = f"One ball on one likely green: most balls run {low} to {high} paces."
    return side_view(
        SidePicture(
            title=f"Nothing measured: {club_text(first.choice.club)}, from the side",
            **ball_parts(first.choice.path, profile),
            ground=np.column_stack([far, slope * far]),
            hole_m=asked.to_edge_m + asked.edge_to_hole_m,
            measure=paces(rough.pace_m),
            note=f"{runs} {KNOWN}",
        )
    )


def _ranges(rough: RoughPlan) -> str:
    rows = tuple(
        bar_of(one.choice.club, one.choice.carry_m.value, one.choice.run_m)
        for one in rough.choices
        if not one.choice.is_putt
    )
    return chart_view(
        ChartPicture(
            title="Nothing measured: carry and run",
            rows=rows,
            measure=paces(rough.pace_m),
            note=f"To this hole. {rough.reading_advice}",
            interval_words="where 9 of 10 balls stop, over all likely greens",
        )
    )
