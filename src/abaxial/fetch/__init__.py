"""The only door to the network: public weather, fetched with patience, kept, and honest about being offline."""

from abaxial.fetch.download import Fetched, cached_text, get_json_text
from abaxial.fetch.forecast import forecast_url, history_url

__all__ = ["Fetched", "cached_text", "forecast_url", "get_json_text", "history_url"]
