"""The door to the network, tried on a server of our own."""

import json
import threading
import time
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, urlsplit

import pytest

from abaxial.errors import OfflineError, RequestError
from abaxial.fetch import cached_text, download, forecast_url, get_json_text, history_url
from abaxial.place import Place

NOW = datetime(2026, 3, 4, 7, tzinfo=UTC)
PLACE = Place(-27.46981, 153.0251, 28.0, "Australia/Brisbane")
GOOD = (200, b'{"hourly": {}}', 0.0)


@pytest.fixture(autouse=True)
def _no_waiting(monkeypatch):
    monkeypatch.setattr(download.time, "sleep", lambda seconds: None)


@contextmanager
def serving(*answers):
    """A server that gives these (status, body, delay) answers in turn, the last one for ever; yields address and requests."""
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            status, body, delay = answers[min(len(asked), len(answers) - 1)]
            asked.append(self.path)
            threading.Event().wait(delay)
            try:
                self.send_response(status)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)
            except OSError:
                return

        def log_message(self, *arguments):
            return

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}/v1/forecast", asked
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


def test_an_answer_is_fetched_and_kept(tmp_path):
    with serving(GOOD) as (url, asked):
        first = get_json_text(url, cache_folder=tmp_path, now=NOW)
        second = get_json_text(url, cache_folder=tmp_path, now=NOW + timedelta(minutes=50))

    assert (first.from_cache, second.from_cache) == (False, True)
    assert first.text == second.text == '{"hourly": {}}'
    assert len(asked) == 1


def test_an_old_copy_is_asked_for_again(tmp_path):
    with serving(GOOD) as (url, asked):
        get_json_text(url, cache_folder=tmp_path, now=NOW)
        again = get_json_text(url, cache_folder=tmp_path, now=NOW + timedelta(hours=2))

    assert not again.from_cache
    assert len(asked) == 2


def test_a_service_that_stumbles_is_asked_again(tmp_path):
    with serving((500, b"", 0.0), (503, b"", 0.0), GOOD) as (url, asked):
        fetched = get_json_text(url, cache_folder=tmp_path, now=NOW)

    assert json.loads(fetched.text) == {"hourly": {}}
    assert len(asked) == 3


def test_a_service_that_stays_down_is_reported_as_such(tmp_path):
    with serving((500, b"", 0.0)) as (url, asked), pytest.raises(OfflineError, match="it answered 500") as caught:
        get_json_text(url, cache_folder=tmp_path, now=NOW)

    assert len(asked) == 3
    assert "write down rain" in caught.value.remedy


def test_a_service_that_is_silent_is_not_waited_for(tmp_path):
    start = time.perf_counter()
    with serving((200, b"{}", 0.6)) as (url, _), pytest.raises(OfflineError, match="did not answer in time"):
        get_json_text(url, cache_folder=tmp_path, now=NOW, timeout_s=0.1, tries=2)

    assert time.perf_counter() - start < 3.0


def test_broken_json_is_never_kept_in_place_of_a_good_copy(tmp_path):
    with serving(GOOD, (200, b'{"hourly": ', 0.0)) as (url, _):
        get_json_text(url, cache_folder=tmp_path, now=NOW)
        with pytest.raises(OfflineError, match="is not JSON") as caught:
            get_json_text(url, cache_folder=tmp_path, now=NOW + timedelta(hours=30))
        kept = cached_text(url, cache_folder=tmp_path)

    assert kept is not None
    assert kept.text == '{"hourly": {}}'
    assert "30 hours old" in caught.value.remedy


def test_without_a_network_it_says_so_and_what_still_works(tmp_path):
    with serving(GOOD) as (url, _):
        pass

    with pytest.raises(OfflineError, match=r"127\.0\.0\.1 could not be reached: it refused the connection"):
        get_json_text(url, cache_folder=tmp_path, now=NOW)


def test_a_name_that_does_not_exist_is_no_connection(tmp_path, monkeypatch):
    def unknown(*arguments, **options):
        raise download.urllib.error.URLError(OSError("Name or service not known"))

    monkeypatch.setattr(download.urllib.request, "urlopen", unknown)

    with pytest.raises(OfflineError, match="there is no connection"):
        get_json_text("https://nowhere.invalid/v1", cache_folder=tmp_path, now=NOW)


def test_a_refusal_passes_on_the_services_own_reason_and_is_not_repeated(tmp_path):
    refusal = (400, b'{"error": true, "reason": "Latitude must be in range of -90 to 90"}', 0.0)
    with serving(refusal) as (url, asked), pytest.raises(RequestError, match="Latitude must be"):
        get_json_text(url, cache_folder=tmp_path, now=NOW)

    assert len(asked) == 1


def test_a_damaged_copy_counts_as_none(tmp_path):
    with serving(GOOD) as (url, asked):
        get_json_text(url, cache_folder=tmp_path, now=NOW)
        next(tmp_path.iterdir()).write_text("{half", encoding="utf-8")
        again = get_json_text(url, cache_folder=tmp_path, now=NOW)

    assert not again.from_cache
    assert len(asked) == 2


def test_a_folder_that_cannot_be_written_costs_only_the_copy(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("in the way", encoding="utf-8")
    with serving(GOOD) as (url, _):
        fetched = get_json_text(url, cache_folder=blocked / "copies", now=NOW)

    assert fetched.text == '{"hourly": {}}'


def test_only_http_is_spoken(tmp_path):
    with pytest.raises(RequestError, match="not an http"):
        get_json_text("file:///etc/hostname", cache_folder=tmp_path, now=NOW)


def test_a_forecast_is_asked_for_in_metric_units_and_utc():
    parts = urlsplit(forecast_url(PLACE, past_days=90, forecast_days=7, environment={}))
    query = {name: values[0] for name, values in parse_qs(parts.query).items()}

    assert (parts.scheme, parts.netloc, parts.path) == ("https", "api.open-meteo.com", "/v1/forecast")
    assert query["latitude"] == "-27.4698"
    assert (query["wind_speed_unit"], query["timezone"], query["past_days"]) == ("ms", "GMT", "90")
    assert "relative_humidity_2m" in query["hourly"].split(",")


def test_an_ensemble_names_its_model_and_history_its_dates():
    assert "models=" in forecast_url(PLACE, past_days=0, forecast_days=7, ensemble=True, environment={})
    assert "start_date=2025-09-01&end_date=2026-01-31" in history_url(
        PLACE, date(2025, 9, 1), date(2026, 1, 31), environment={}
    )


def test_an_address_of_ones_own_stands_in_for_the_public_one():
    own = {"ABAXIAL_FORECAST_URL": "http://127.0.0.1:9/weather/"}

    url = forecast_url(PLACE, past_days=1, forecast_days=1, ensemble=True, environment=own)
    assert url.startswith("http://127.0.0.1:9/weather/v1/ensemble?")


@pytest.mark.parametrize("days", [{"past_days": 93, "forecast_days": 7}, {"past_days": 0, "forecast_days": 17}])
def test_more_days_than_the_service_holds_are_refused(days):
    with pytest.raises(RequestError, match="must lie between"):
        forecast_url(PLACE, environment={}, **days)
