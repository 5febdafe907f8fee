"""The app's settings: ``givens.toml`` in the folder it is started from, overruled by ``GIVENS_*`` variables."""

from __future__ import annotations

import difflib
import ipaddress
import os
import tomllib
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal
from urllib.parse import urlsplit

from pydantic import AfterValidator, BeforeValidator, Field, ValidationError
from pydantic_core import PydanticCustomError
from pydantic_settings import (
    BaseSettings,
    PydanticBaseSettingsSource,
    SettingsConfigDict,
    SettingsError,
    TomlConfigSettingsSource,
)

from matcher.bounded_toml import refuse_unbounded
from matcher.errors import Problem, RequestError

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

SETTINGS_FILE = "givens.toml"
PREFIX = "GIVENS_"
# Assumption: alike enough that a variable was meant for us; others may use the prefix for their own.
_MEANT = 0.75
_MOST_SHOWN = 100  # letters of what was given, in a message about it
_MOST_BYTES = 100_000  # assumption: a hundred times every key there is, with remarks

Count = Annotated[int, Field(ge=1, le=1_000_000)]


def _checked_network(text: str) -> str:
    """Return an address, or a network as 10.0.0.0/8; raises ValueError for what is neither."""
    ipaddress.ip_network(text)
    return text


def _checked_address(text: str) -> str:
    """Return the address of a site, such as https://colour.example; raises ValueError for what is none."""
    split = urlsplit(text)
    if split.scheme not in ("http", "https") or not split.hostname or split.query or split.fragment or "@" in text:
        raise ValueError("write it as https://colour.example")
    if split.path.strip("/"):
        raise ValueError("the app stands at the root of its name, so without a path: https://colour.example")
    return text.rstrip("/")


def _checked_day(value: object) -> object:
    """Return a date, or the word today; raises for anything else."""
    if value is None or value == "today" or type(value) is date:
        return value
    try:
        return date.fromisoformat(value if isinstance(value, str) else "")
    except ValueError:
        raise PydanticCustomError("day", "no day") from None


# RFC 1123, 2.1: a host's name without a port, or an address.
HostName = Annotated[str, Field(min_length=1, max_length=253, pattern=r"^[A-Za-z0-9._:-]+$")]
Network = Annotated[str, AfterValidator(_checked_network)]
# What a head or a foot of a sheet has room for; assumptions, by looking.
Line = Annotated[str, Field(max_length=70)]
Lines = Annotated[tuple[Line, ...], Field(max_length=3)]
Day = Annotated[date | Literal["today"] | None, BeforeValidator(_checked_day)]
WebAddress = Annotated[str, Field(max_length=300), AfterValidator(_checked_address)]


class Settings(BaseSettings):
    """What a shop can set; the numbers below are assumptions, chosen for a handful of consultants.

    ``folder`` holds photos and the database, unless ``photo_address`` and ``database_url`` name other places; ``deck``
    is the deck of paints to rank (the invented demo deck if left out). ``public_url`` is the address that clients reach
    the app by, with which their links begin. ``hosts`` are the names the app answers to once there are accounts (any,
    if left out); ``trusted_proxies`` the addresses whose word on who is asking is believed.

    ``letterhead_name``, ``letterhead_contact`` (lines), ``letterhead_mark`` (a picture file) and ``letterhead_date``
    stand on what is handed over. Nothing there says what day it is unless the date is set, to a day or to "today";
    ``paper`` is what the room's country uses if left out.
    """

    model_config = SettingsConfigDict(
        env_prefix=PREFIX, env_ignore_empty=True, toml_file=SETTINGS_FILE, extra="forbid", frozen=True
    )

    folder: Path = Path("givens-data")
    database_url: Annotated[str | None, Field(repr=False)] = None  # it may hold a password
    photo_address: Annotated[str | None, Field(repr=False)] = None
    deck: Path | None = None
    port: Annotated[int, Field(ge=1, le=65535)] = 8520
    upload_limit_mb: Count = 40
    photos_per_room: Count = 40
    link_days: Count = 60
    session_hours: Count = 12
    public_url: WebAddress | None = None
    hosts: tuple[HostName, ...] = ()
    trusted_proxies: tuple[Network, ...] = ()
    sign_in_attempts: Count = 8
    sign_in_window_minutes: Count = 15
    letterhead_name: Line = ""
    letterhead_contact: Lines = ()
    letterhead_mark: Path | None = None
    letterhead_date: Day = None
    paper: Literal["A4", "Letter"] | None = None

    @classmethod
    def settings_customise_sources(
        cls,
        settings_cls: type[BaseSettings],
        init_settings: PydanticBaseSettingsSource,
        env_settings: PydanticBaseSettingsSource,
        dotenv_settings: PydanticBaseSettingsSource,
        file_secret_settings: PydanticBaseSettingsSource,
    ) -> tuple[PydanticBaseSettingsSource, ...]:
        """Arguments first, then the environment, then the file; no other source."""
        return init_settings, env_settings, TomlConfigSettingsSource(settings_cls)

    @property
    def database(self) -> str:
        """The database's URL: ``database_url``, or SQLite in ``folder``."""
        return self.database_url or f"sqlite:///{self.folder / 'givens.db'}"


def load_settings() -> Settings:
    """Read the settings; raises :class:`matcher.errors.RequestError` naming every key that is unknown or impossible."""
    stray = [_stray(name) for name in sorted(os.environ) if _meant(name)]
    if stray:
        raise RequestError(*stray)
    _refuse_unbounded_file()
    try:
        return Settings()
    except ValidationError as error:
        raise RequestError(*(_problem(one) for one in error.errors(include_url=False))) from None
    except tomllib.TOMLDecodeError as error:
        what = f"is not valid TOML ({error})"
        raise RequestError(Problem(SETTINGS_FILE, what, "One key = value a line, text in quotes.")) from None
    except UnicodeDecodeError:
        raise RequestError(Problem(SETTINGS_FILE, "is not UTF-8", "Save it as UTF-8 text.")) from None
    except (OSError, SettingsError) as error:
        raise RequestError(Problem(SETTINGS_FILE, f"cannot be read ({error})", "Check the file.")) from error


def _refuse_unbounded_file() -> None:
    """Raise :class:`matcher.errors.RequestError` for a settings file that must not be parsed."""
    path = Path(SETTINGS_FILE)
    try:
        data = b""
        if path.is_file():
            with path.open("rb") as file:
                data = file.read(_MOST_BYTES + 1)
    except OSError:
        return  # said where it is read
    if len(data) > _MOST_BYTES:
        what = f"has more than the {_MOST_BYTES // 1000} kB that settings may have"
        raise RequestError(Problem(SETTINGS_FILE, what, "Check that it is the right file."))
    refuse_unbounded(data.decode("utf-8", errors="replace"), SETTINGS_FILE, RequestError)


def _meant(name: str) -> str | None:
    """Return the setting that a ``GIVENS_`` variable of another name was probably meant for."""
    key = name.upper().removeprefix(PREFIX).lower()
    if not name.upper().startswith(PREFIX) or key in Settings.model_fields:
        return None
    return next(iter(difflib.get_close_matches(key, Settings.model_fields, n=1, cutoff=_MEANT)), None)


def _stray(name: str) -> Problem:
    return Problem(name, "is no setting", f"Did you mean {PREFIX}{(_meant(name) or '').upper()}?")


def _problem(error: ErrorDetails) -> Problem:
    key = str(error["loc"][0]) if error["loc"] else ""
    variable = next((name for name in os.environ if name.upper() == f"{PREFIX}{key}".upper()), None)
    where = variable or f"{SETTINGS_FILE}, {key}"
    if error["type"] == "extra_forbidden":
        return Problem(where, "is not a known key", f"Known here: {', '.join(Settings.model_fields)}.")
    given = repr(error["input"])
    shown = given if len(given) <= _MOST_SHOWN else f"{given[:_MOST_SHOWN]}\N{HORIZONTAL ELLIPSIS}"
    return Problem(where, f"{shown} {_plainly(error)}")


def _plainly(error: ErrorDetails) -> str:
    kind, limits = error["type"], error.get("ctx", {})
    if kind == "value_error":
        return f"is not an address ({limits['error']})"
    if kind == "string_pattern_mismatch":
        return "is not the name of a host"
    if kind.startswith("tuple_"):
        return "is not a list"
    if kind == "day":
        return "is neither a day, as 2026-03-21, nor the word today"
    if kind == "literal_error":
        return f"is not {limits['expected']}"
    if kind == "string_too_long":
        return f"is longer than {limits['max_length']} letters"
    if kind == "too_long":
        return f"has more than {limits['max_length']} lines"
    if kind.startswith("int_"):
        return "is not a whole number"
    if kind == "greater_than_equal":
        return f"is below {limits['ge']}, the least"
    if kind == "less_than_equal":
        return f"is above {limits['le']}, the most"
    return "is not text"  # all that is left: a folder, a deck or an address given as something else
