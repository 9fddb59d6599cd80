"""The air of a day as the shot needs it."""

from __future__ import annotations

from firstbounce.ground.conditions import GreenToday
from firstbounce.shot.air import air_of_weather
from firstbounce.shot.laws import AirSpec


def air_of(today: GreenToday) -> AirSpec:
    """Density from the weather, wind as a vector at head height."""
    wind_x, wind_y = today.wind.vector
    return air_of_weather(
        temperature_c=today.weather.temperature_c,
        pressure_pa=today.weather.pressure_pa,
        humidity=today.weather.humidity,
        wind_x=wind_x,
        wind_y=wind_y,
        reference_height=today.wind.reference_m,
        roughness=today.wind.roughness_m,
    )
