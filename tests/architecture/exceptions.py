"""What is let off a rule of the house, by name and with the reason. One that is no longer needed fails its test."""

FILE_LINES: dict[str, str] = {}

FUNCTION_LINES: dict[str, str] = {}

ARGUMENTS: dict[str, str] = {
    "weather/members/make.py:make_ensemble": "what is known, what was noticed, when it is now, and the dice: each is its own",
}

ROOM_FILES: dict[str, str] = {
    "assimilation": "how a look is weighed and how versions are moved are one room: each is nothing without the other",
    "infection": "the kernel of one planting and the library of all are each read alone, and the kernel is long enough",
    "season": "one short file for each answer, and one for each step of the main line that they share",
    "microclimate": "short formula files, one topic each, that are read one at a time; the kernel calls most of them",
}

LATE_IMPORTS: dict[str, str] = {
    "records/opening/making.py:make_tables": "alembic loads slower than all the rest of opening, and is needed once a version",
    "season/opening/values.py:_wrong": "the science loads slower than all the rest, and most gardens set no values",
    "season/opening/place.py:open_garden": "the database loads slower than all the rest, and a description needs none",
}

CLOCK: dict[str, str] = {}

UNITLESS: dict[str, str] = {
    "garden/section.py:Section.number": "reads whatever number the file holds; its key wears the unit",
    "microclimate/kernel.py:Drivers.air": "rows of several units; their names stand in kernel.AIR",
    "microclimate/kernel.py:newton_step": "answers a temperature and two fluxes at once; their names stand in it",
    "microclimate/soil_water.py:step": "a step answers the new state, whose fields wear their units",
    "weather/disaggregation.py:constant": "looks a number up by its name, which wears the unit",
    "weather/doubt.py:value": "looks a number up by its name, which wears the unit",
    "weather/generator/climate.py:DailyClimate.a": "Richardson's matrix A, of correlations",
    "weather/generator/climate.py:DailyClimate.b": "Richardson's matrix B, of correlations",
    "weather/generator/climate.py:DailyClimate.mean": "columns of several units; their names stand in the docstring",
    "weather/generator/climate.py:Examples.figures": "columns of several units; their names stand in the docstring",
    "weather/generator/days.py:State.residual": "standardised residuals, without unit by construction",
    "weather/generator/matrices.py:constant": "looks a number up by its name, which wears the unit",
    "weather/sun.py:solar_position": "answers elevation and azimuth together; both in degrees",
}
