"""The ground of one station: its surface and its turf by place, compiled to arrays for the kernels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from firstbounce.errors import ParameterError
from firstbounce.ground.areas import Area, Corners, Raster, blank_raster, inside, paint, polygon_fault
from firstbounce.ground.arrays import GroundArrays
from firstbounce.ground.surface import Bounds, Plane, Surface, highest
from firstbounce.ground.turf import CODES, KINDS, Turf, turf_props
from firstbounce.words import Point, TurfKind

MARGIN_M = 15.0  #: how far a map without stated bounds reaches beyond the green
LONGEST_SIDE_M = 400.0  #: a larger map is a slip of the pen


@dataclass(frozen=True, kw_only=True, eq=False)
class Ground:
    """Surface and turf. Without an outline the whole map is of the kind `around`.

    Turf is painted in this order: `around` everywhere; the areas of fairway, fringe and rough; the fringe
    band; the green's outline; all other areas (bunker, water, bare ground, mats, a second green and so on);
    later over earlier each time.
    """

    surface: Surface
    outline: Corners | None = None  #: corners (x, y) of the green [m]
    areas: tuple[Area, ...] = ()
    around: TurfKind = TurfKind.FAIRWAY
    fringe_m: float = 0.0  #: width of the fringe band around the green
    bounds: Bounds | None = None  #: the map [m]; usually the grid's, or the outline with a margin
    turfs: dict[TurfKind, Turf] = field(default_factory=dict)  #: replaces rows of the usual turf table

    def __post_init__(self) -> None:
        fault = polygon_fault(self.outline, "The outline of the green") if self.outline is not None else None
        if fault:
            raise ParameterError(fault)
        if not 0 <= self.fringe_m < 50:
            raise ParameterError(f"The fringe must be 0 to 50 m wide, got {self.fringe_m:g}.")
        object.__setattr__(self, "areas", tuple(self.areas))
        object.__setattr__(
            self, "bounds", self._usual_bounds() if self.bounds is None else Bounds(*self.bounds)
        )
        self._check_bounds()

    @classmethod
    def level(
        cls,
        bounds: Sequence[float] = (-30.0, 30.0, -10.0, 60.0),
        *,
        slope_percent: float = 0.0,
        downhill_deg: float = 0.0,
        kind: TurfKind = TurfKind.GREEN,
    ) -> Ground:
        """A map all of one kind of turf, level or a plane through the origin."""
        return cls(surface=Plane((0, 0, 0), slope_percent, downhill_deg), around=kind, bounds=Bounds(*bounds))

    def _usual_bounds(self) -> Bounds:
        if self.surface.extent is not None:
            return self.surface.extent
        if self.outline is None:
            raise ParameterError("A map needs bounds, a height grid or the outline of the green.")
        low, high = np.min(self.outline, axis=0) - MARGIN_M, np.max(self.outline, axis=0) + MARGIN_M
        return Bounds(float(low[0]), float(high[0]), float(low[1]), float(high[1]))

    def _check_bounds(self) -> None:
        b = self.map
        sides = (b.x_max - b.x_min, b.y_max - b.y_min)
        if not np.isfinite(b).all() or min(sides) <= 0 or max(sides) > LONGEST_SIDE_M:
            raise ParameterError(
                f"The map must be above 0 and at most {LONGEST_SIDE_M:g} m wide and long, got"
                f" {sides[0]:g} by {sides[1]:g} m."
            )
        if self.outline is not None:
            low, high = np.min(self.outline, axis=0), np.max(self.outline, axis=0)
            if not b.holds(Bounds(low[0], high[0], low[1], high[1])):
                raise ParameterError("The outline of the green reaches beyond the map: make the map larger.")
        self.surface.spline(b)

    @property
    def map(self) -> Bounds:
        """The bounds of the map [m]."""
        return cast(Bounds, self.bounds)

    @cached_property
    def raster(self) -> Raster:
        """The painted turf codes."""
        return paint(
            blank_raster(self.map),
            outline=self.outline,
            fringe_m=self.fringe_m,
            areas=self.areas,
            around=self.around,
        )

    def compiled(self) -> GroundArrays:
        """The arrays that kernels read; made once."""
        return self._arrays

    @cached_property
    def _arrays(self) -> GroundArrays:
        spline = self.surface.spline(self.map)
        codes, props = self.raster.codes, turf_props(self.turfs)
        for array in (codes, props):
            array.flags.writeable = False
        return GroundArrays(
            coeffs=np.ascontiguousarray(spline.coeffs, dtype=np.float64),
            x0=float(spline.x0_m),
            y0=float(spline.y0_m),
            inv_cell=1.0 / spline.cell_m,
            turf=codes,
            tx0=float(self.raster.x0_m),
            ty0=float(self.raster.y0_m),
            inv_tcell=1.0 / self.raster.cell_m,
            turf_props=props,
            x_min=float(self.map.x_min),
            x_max=float(self.map.x_max),
            y_min=float(self.map.y_min),
            y_max=float(self.map.y_max),
            z_max=highest(spline, self.map),
        )

    def turf_code_at(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.uint8]:
        """Codes (places in turf.KINDS) of the turf at (x, y) [m]; shapes broadcast."""
        return self.raster.code_at(x, y)

    def turf_at(self, x_m: float, y_m: float) -> TurfKind:
        """Kind of turf at one place; beyond the map that of the nearest edge."""
        return KINDS[int(self.turf_code_at(x_m, y_m))]

    def with_surface(self, surface: Surface) -> Ground:
        """The same turf on another surface; the painted raster is kept."""
        other = replace(self, surface=surface)
        other.__dict__["raster"] = self.raster
        return other

    def draw(self, rng: np.random.Generator) -> Ground:
        """The same turf on one surface that the readings allow."""
        return self.with_surface(self.surface.draw(rng))

    def holds(self, place: Point) -> bool:
        """Whether a place lies on the map."""
        b = self.map
        return b.x_min <= place[0] <= b.x_max and b.y_min <= place[1] <= b.y_max

    def on_green(self, x: ArrayLike, y: ArrayLike) -> NDArray[np.bool_]:
        """Whether the turf at (x, y) [m] is green, a temporary green or a mat that serves as one."""
        codes = [CODES[kind] for kind in (TurfKind.GREEN, TurfKind.TEMPORARY_GREEN, TurfKind.MAT)]
        return np.isin(self.turf_code_at(x, y), codes)


def hole_fault(ground: Ground, hole: Point) -> str | None:
    """What is wrong with the place of a hole, one sentence, or None."""
    where = f"The hole at x {hole[0]:g}, y {hole[1]:g} m"
    if not ground.holds(hole):
        return f"{where} lies outside the map {_map_text(ground)}."
    if not ground.on_green(*hole):
        return f"{where} lies on {ground.turf_at(*hole)}, not on the green: move the hole or the outline."
    return None


def start_fault(ground: Ground, start: Point) -> str | None:
    """What is wrong with the place that balls are hit from, one sentence, or None."""
    where = f"The start at x {start[0]:g}, y {start[1]:g} m"
    if not ground.holds(start):
        return f"{where} lies outside the map {_map_text(ground)}."
    if ground.turf_at(*start) is TurfKind.WATER:
        return f"{where} lies in water: move the start or the water's area."
    return None


def outline_holds(ground: Ground, place: Point) -> bool:
    """Whether a place lies inside the outline of the green (true everywhere when there is none)."""
    return ground.outline is None or bool(inside(ground.outline, *place))


def steepness_fault(ground: Ground, steepest_percent: float = 100.0) -> str | None:
    """A sentence when the surface is steeper than any place for a chip: heights in wrong units, usually."""
    b = ground.map
    x, y = np.meshgrid(np.linspace(b.x_min, b.x_max, 101), np.linspace(b.y_min, b.y_max, 101))
    slope = 100 * np.hypot(*ground.surface.gradient(x, y))
    if slope.max() <= steepest_percent:
        return None
    row, column = np.unravel_index(int(slope.argmax()), slope.shape)
    return (
        f"The ground slopes {slope.max():.0f} percent at x {x[row, column]:.1f}, y {y[row, column]:.1f} m,"
        f" more than {steepest_percent:g}: are the heights in metres?"
    )


def _map_text(ground: Ground) -> str:
    b = ground.map
    return f"(x {b.x_min:g} to {b.x_max:g}, y {b.y_min:g} to {b.y_max:g} m)"
