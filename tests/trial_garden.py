"""A garden description in three pieces, and the command line as a process, for the tests of doors and bad input."""

import sys

COMMAND = [sys.executable, "-c", "from abaxial.cli.main import main; main()"]
SITE = """
[site]
name = "Trial garden"
latitude_deg = -1.3
longitude_deg = 36.8
elevation_m = 1660
zone = "Africa/Nairobi"
"""
BED = """
[[bed]]
name = "Quay"
area_m2 = 4
"""
PLANTING = """
[[planting]]
name = "Cannas"
bed = "Quay"
host = "canna"
clumps = 6
spacing_m = 0.6
since = 2026-01-10
"""
