"""A fit as a plain dictionary and back, for JSON and for records; who stores it keeps player and day."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np

from firstbounce.errors import ParameterError
from firstbounce.fitting.assumptions import Assumptions
from firstbounce.fitting.landing import NAMES, LandingFit
from firstbounce.fitting.layout import Layout
from firstbounce.fitting.result import MODEL_VERSION, Fit, Suspect
from firstbounce.fitting.shots import SetAside
from firstbounce.ground.conditions import GreenToday
from firstbounce.players.player import Player


def fit_to_dict(fit: Fit) -> dict[str, Any]:
    """Numbers and words only; `model` names the version of the model that the numbers belong to."""
    return {
        "model": MODEL_VERSION,
        "verdict": fit.verdict,
        "wet": fit.wet,
        "clubs": [club.name for club in fit.layout.clubs],
        "unknowns": list(fit.layout.names()),
        "values": fit.theta.tolist(),
        "covariance": fit.covariance.tolist(),
        "ln_scatter": list(fit.ln_scatter),
        "ln_scatter_90": list(fit.ln_scatter_90),
        "landing_unknowns": list(NAMES),
        "landing_values": fit.landing.values.tolist(),
        "landing_covariance": fit.landing.covariance.tolist(),
        "landing_balls": fit.landing.n_landed,
        "balls_by_club": dict(fit.n_by_club),
        "balls_by_lie": {str(group): n for group, n in fit.n_by_lie.items()},
        "suspects": [{"id": one.id, "probability": one.probability} for one in fit.suspects],
        "set_aside": [{"id": one.id, "reason": one.reason} for one in fit.set_aside],
        "remarks": list(fit.remarks),
        "assumed": asdict(fit.assumed),
    }


def fit_from_dict(data: dict[str, Any], *, player: Player, today: GreenToday) -> Fit:
    """The fit that was stored, for the same bag; ParameterError when it belongs to another model or bag."""
    if data.get("model") != MODEL_VERSION:
        raise ParameterError(
            f"This fit was stored by model {data.get('model')!r}; this is {MODEL_VERSION!r}: fit again."
        )
    layout = Layout(player.bag.lofted)
    if data["unknowns"] != list(layout.names()):
        raise ParameterError("This fit was stored for another bag of clubs: fit the balls again.")
    landing = LandingFit(
        np.array(data["landing_values"]),
        np.array(data["landing_covariance"]),
        np.zeros(0),
        int(data["landing_balls"]),
    )
    return Fit(
        player=player,
        today=today,
        layout=layout,
        assumed=Assumptions(**data["assumed"]),
        theta=np.array(data["values"]),
        covariance=np.array(data["covariance"]),
        ln_scatter=(data["ln_scatter"][0], data["ln_scatter"][1]),
        ln_scatter_90=(data["ln_scatter_90"][0], data["ln_scatter_90"][1]),
        landing=landing,
        verdict=data["verdict"],
        n_by_club=dict(data["balls_by_club"]),
        n_by_lie={int(group): n for group, n in data["balls_by_lie"].items()},
        suspects=tuple(Suspect(**one) for one in data["suspects"]),
        set_aside=tuple(SetAside(**one) for one in data["set_aside"]),
        remarks=tuple(data["remarks"]),
        wet=bool(data["wet"]),
    )
