"""How much to mix: sprayer, foliage, rate, tank, order and rinsing, put together on one card."""
