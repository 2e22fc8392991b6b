"""Broken documents: each with one thing wrong, and the code and the field that must be reported."""

from __future__ import annotations

import datetime
import math

import pytest
from document_makers import GONE, KINDS, put, whole

from standtrue.documents import FAULT_CODES, read_document
from standtrue.documents.vehicle import VehicleForm, to_vehicle
from standtrue.model.reason import Reason
from standtrue.show.words.reader import ENGLISH, Reader

SPANISH = Reader(language="es")

BOX = {"box": [100, 100, 101, 101]}
BOWTIE = [[0, 0], [2, 2], [2, 0], [0, 2]]
NAN = math.nan

# Path, what is put there, code, and the field reported where that is not the path itself.
Case = tuple[str, object, str, str]

HEAD: list[Case] = [
    ("kind", GONE, "missing-field", "kind"),
    ("kind", "sight", "kind-unknown", "kind"),
    ("kind", 3, "wrong-type", "kind"),
    ("schema", GONE, "missing-field", "schema"),
    ("schema", 2, "schema-unknown", "schema"),
    ("schema", True, "schema-unknown", "schema"),
    ("schema", "1", "schema-unknown", "schema"),
    ("name", GONE, "missing-field", "name"),
    ("name", " ", "value-impossible", "name"),
    ("name", 7, "wrong-type", "name"),
    ("name", "a/b", "value-impossible", "name"),
    ("name", "a\0b", "control-character", "name"),
    ("name", "a\nb", "control-character", "name"),
    ("name", "a\tb", "control-character", "name"),
    ("name", "a\x85b", "control-character", "name"),
    ("name", "a\u202eb", "control-character", "name"),
    ("name", "a\u2028b", "control-character", "name"),
    ("name", "half \ud800", "not-utf8", "name"),
    ("name", "x" * 300, "too-large", "name"),
    ("units", "yards", "unknown-unit", "units"),
    ("units", "M", "unknown-unit", "units"),
    ("demonstration", "yes", "wrong-type", "demonstration"),
    ("colour_of_walls", 1, "unknown-field", "colour_of_walls"),
]

CASES: dict[str, list[Case]] = {
    "site": [
        ("outline", GONE, "missing-field", "outline"),
        ("outline", BOWTIE, "outline-crosses-itself", "outline"),
        ("outline", [[0, 0], [1, 0], [2, 0]], "outline-no-area", "outline"),
        ("outline", [[0, 0], [1, 0]], "outline-no-area", "outline"),
        ("outline", [[0, 0], [20, 0], [20, 10], [0, 10], [0, 0]], "outline-repeats-point", "outline"),
        ("outline", [[0, 0], [20, 0], [20, NAN]], "not-finite", "outline"),
        ("outline", [[0, 0], [20, 0], [20, True]], "wrong-type", "outline"),
        ("outline", [[0, 0], [20, 0], [20]], "wrong-type", "outline"),
        ("outline", "large", "wrong-type", "outline"),
        ("box", [0, 0, 20, 10], "fields-conflict", "box"),
        ("units", GONE, "units-missing", "units"),
        ("clear_height", -4, "value-impossible", "clear_height"),
        ("clear_height", 0, "value-impossible", "clear_height"),
        ("clear_height", "12 ell", "unknown-unit", "clear_height"),
        ("clear_height", "12", "unknown-unit", "clear_height"),
        ("clear_height", "twelve ft", "not-a-quantity", "clear_height"),
        ("clear_height", "12 kg", "unknown-unit", "clear_height"),
        ("clear_height", 1e9, "value-impossible", "clear_height"),
        ("clear_height", 10**400, "too-large", "clear_height"),
        ("clear_height", datetime.date(2026, 1, 1), "wrong-type", "clear_height"),
        ("clear_height", math.inf, "not-finite", "clear_height"),
        ("clear_height", "inf m", "not-finite", "clear_height"),
        ("gaps.bodies", 1, "unknown-field", "gaps.bodies"),
        ("gaps.body", -0.1, "value-impossible", "gaps.body"),
        ("gaps", 3, "wrong-type", "gaps"),
        ("datum.direction", "900 deg", "value-impossible", "datum.direction"),
        ("light[0].lux", "bright", "not-a-quantity", "light[0].lux"),
        ("holes[0]", {"hexagon": 3}, "wrong-type", "holes[0]"),
        ("holes[0]", {"circle": [1, 1, -1]}, "value-impossible", "holes[0]"),
        ("doors[0].from", [19, 2], "not-on-outline", "doors[0].from"),
        ("doors[0].to", [20, 2], "value-impossible", "doors[0].to"),
        ("doors[0].to", [17, 10], "not-on-outline", "doors[0].to"),
        ("doors[0].height", GONE, "missing-field", "doors[0].height"),
        ("doors[0].track.top", 1, "value-impossible", "doors[0].track.top"),
        ("doors[1]", {"name": "front", "from": [0, 2], "to": [0, 3], "height": 2}, "name-repeated", "doors[1].name"),
        ("bays[0].closed_edges[1]", 4, "value-impossible", "bays[0].closed_edges[1]"),
        ("bays[0].closed_edges[1]", -1, "value-impossible", "bays[0].closed_edges[1]"),
        ("bays[0].outline", [[50, 50], [51, 50], [51, 51]], "outside-floor", "bays[0].outline"),
        ("obstacles[0].top", 0.1, "value-impossible", "obstacles[0].top"),
        ("obstacles[0].top", GONE, "missing-field", "obstacles[0].top"),
        ("obstacles[0].circle", [90, 90, 1], "outside-floor", "obstacles[0].circle"),
        ("obstacles[1]", {"name": "bench", "box": [1, 1, 2, 2], "top": 1}, "name-repeated", "obstacles[1].name"),
        ("obstacles[0].metall", True, "unknown-field", "obstacles[0].metall"),
        ("obstacles[0].movable", 1, "wrong-type", "obstacles[0].movable"),
        ("voids[0].closed[0]", "front board", "unknown-reference", "voids[0].closed[0]"),
        ("voids[0].covers[0].box", [12, 6, 13, 7], "value-impossible", "voids[0].covers[0].box"),
        ("voids[0].covers[1].name", "front boards", "name-repeated", "voids[0].covers[1].name"),
        ("voids[0].box", [90, 6, 98, 7], "outside-floor", "voids[0].box"),
        ("patches[0].why", GONE, "missing-field", "patches[0].why"),
        ("patches[0].why", {"en": "grate", "fr": "grille"}, "unknown-word", "patches[0].why"),
        ("patches[0].why", {}, "value-impossible", "patches[0].why"),
        ("patches[0].why", {"es": 3}, "wrong-type", "patches[0].why"),
        ("patches[0].why", 3, "wrong-type", "patches[0].why"),
        ("reader.units", "furlongs", "unknown-word", "reader.units"),
        ("reader.language", "British English", "unknown-word", "reader.language"),
        ("reader.paper", 4, "wrong-type", "reader.paper"),
        ("reader.colour", "black", "unknown-field", "reader.colour"),
        ("lifts[0].type", GONE, "missing-field", "lifts[0].type"),
        ("lifts[0].locks", [1], "fields-conflict", "lifts[0].locks"),
        ("lifts[1].at", [90, 90], "outside-floor", "lifts[1].at"),
        ("lifts[1].name", "lift a", "name-repeated", "lifts[1].name"),
        ("lifts[1].carries", "wheel", "unknown-word", "lifts[1].carries"),
        ("equipment[0].footprint", GONE, "missing-field", "equipment[0].footprint"),
        ("equipment[0].reach", [2, 1], "range-reversed", "equipment[0].reach"),
        ("equipment[0].count", 0, "value-impossible", "equipment[0].count"),
        ("equipment[0].store", [1], "wrong-type", "equipment[0].store"),
        ("people[0].hours", {"someday": ["08:00", "09:00"]}, "unknown-word", "people[0].hours"),
        ("hours", {"monday": ["18:00", "09:00"]}, "range-reversed", "hours"),
        ("closed_on", "2026-12-25", "wrong-type", "closed_on"),
        ("closed_on", ["Christmas"], "value-impossible", "closed_on"),
        ("people[0].away_on", [3], "wrong-type", "people[0].away_on"),
        ("hours", {"monday": ["8 o'clock", "09:00"]}, "value-impossible", "hours"),
        ("sent_out[0]", {"minutes": 60, "price": 80}, "missing-field", "sent_out[0].procedures"),
        ("sent_out[0].transport", -1, "value-impossible", "sent_out[0].transport"),
        ("sent_out[0].price", [5, 4], "range-reversed", "sent_out[0].price"),
        ("pace.drive", 0, "value-impossible", "pace.drive"),
        ("pace.drive", "1 m", "unknown-unit", "pace.drive"),
    ],
    "lift": [
        ("units", GONE, "units-missing", "units"),
        ("states", GONE, "missing-field", "states"),
        ("states", [], "list-empty", "states"),
        ("states", {"name": "down"}, "wrong-type", "states"),
        ("states[1].name", "down", "name-repeated", "states[1].name"),
        ("states[1].deck_height", [1.2, 0.3], "range-reversed", "states[1].deck_height"),
        ("states[1].deck_height", GONE, "missing-field", "states[1].deck_height"),
        ("states[1].deck_height", -1, "value-impossible", "states[1].deck_height"),
        ("states[1].deck_height", [1, 2, 3], "wrong-type", "states[1].deck_height"),
        ("states[0].decks[0]", BOWTIE, "outline-crosses-itself", "states[0].decks[0]"),
        ("states[0].decks[0]", {"box": [0, 0, 0, 1]}, "outline-no-area", "states[0].decks[0]"),
        ("states[0].decks[0]", {"box": [0, 0, 1]}, "wrong-type", "states[0].decks[0]"),
        ("states[0].deck_thickness", 0, "value-impossible", "states[0].deck_thickness"),
        ("states[0].obstacles[0].top", -1, "value-impossible", "states[0].obstacles[0].top"),
        ("states[0].obstacles[0].rises", 1, "wrong-type", "states[0].obstacles[0].rises"),
        ("posts[0].rises", True, "unknown-field", "posts[0].rises"),
        ("states[0].drive_on", "true", "wrong-type", "states[0].drive_on"),
        ("states[0].ramp", [], "unknown-field", "states[0].ramp"),
        ("capacity", "9000 ft", "unknown-unit", "capacity"),
        ("capacity", 0, "value-impossible", "capacity"),
        ("axle_capacity", 9000, "value-impossible", "axle_capacity"),
        ("carries", "axles", "unknown-word", "carries"),
        ("posts[0].top", 0, "value-impossible", "posts[0].top"),
        ("posts[1].name", "left post", "name-repeated", "posts[1].name"),
        ("locks[1]", "low", "not-a-quantity", "locks[1]"),
        ("locks", 1, "wrong-type", "locks"),
        ("travel", ["60 s", "40 s"], "range-reversed", "travel"),
        ("travel", -1, "value-impossible", "travel"),
        ("facing", "both", "unknown-word", "facing"),
        ("wheelbase", [3.4, 2.2], "range-reversed", "wheelbase"),
        ("jacks", 1, "wrong-type", "jacks"),
        ("plates[0].axle", "middle", "unknown-word", "plates[0].axle"),
        ("arms[0].reach", NAN, "not-finite", "arms[0].reach"),
        ("arms[0].pivot", [0, 1, 2], "wrong-type", "arms[0].pivot"),
        ("arms[0].swing", [0, 1000], "value-impossible", "arms[0].swing"),
    ],
    "vehicle": [
        ("units", GONE, "units-missing", "units"),
        ("length", GONE, "missing-field", "length"),
        ("length", 0, "value-impossible", "length"),
        ("length", "4600", "unknown-unit", "length"),
        ("length", datetime.time(4, 6), "wrong-type", "length"),
        ("width", 0, "value-impossible", "width"),
        ("width", -1850, "value-impossible", "width"),
        ("width", 4700, "value-impossible", "width"),
        ("wheelbase", 4600, "value-impossible", "wheelbase"),
        ("wheelbase", True, "wrong-type", "wheelbase"),
        ("front_overhang", 2000, "value-impossible", "front_overhang"),
        ("width_over_mirrors", 1800, "value-impossible", "width_over_mirrors"),
        ("height", 100, "value-impossible", "height"),
        ("height", NAN, "not-finite", "height"),
        ("track_front", 1900, "value-impossible", "track_front"),
        ("track_rear", "63 lb", "unknown-unit", "track_rear"),
        ("tire_width", 950, "value-impossible", "tire_width"),
        ("tire_diameter", 2800, "value-impossible", "tire_diameter"),
        ("turning_circle", 5000, "value-impossible", "turning_circle"),
        ("turning_circle_wall", 10000, "value-impossible", "turning_circle_wall"),
        ("mass", "1900 mm", "unknown-unit", "mass"),
        ("front_axle_share", 48, "value-impossible", "front_axle_share"),
        ("years", [2024, 2021], "range-reversed", "years"),
        ("years", 21, "value-impossible", "years"),
        ("lift_points[0]", [1], "wrong-type", "lift_points[0]"),
        ("alignment", [1, 2], "wrong-type", "alignment"),
        ("alignment", {"toe": "wide"}, "not-a-quantity", "alignment.toe"),
        ("ride_height", {"front": [2, 1]}, "range-reversed", "ride_height.front"),
        ("hood_open.reach", -1, "value-impossible", "hood_open.reach"),
        ("outline", BOWTIE, "outline-crosses-itself", "outline"),
        ("outline", [[-1100, -925], [3600, -800], [3600, 800], [-1100, 925]], "value-impossible", "outline"),
        ("outline", [[-1000, -975], [3600, -800], [3600, 800], [-1000, 975]], "value-impossible", "outline"),
        ("outline", [[-1100, -925], [3500, -900], [3500, 900], [-1100, 925]], "value-impossible", "outline"),
        ("outline", [[-1000, -895], [3600, -800], [3600, 800], [-1000, 955]], "value-impossible", "outline"),
        ("outline", [[-1000, -925], [3600, -400], [3600, 400], [-1000, 925]], "value-impossible", "outline"),
        ("sensors[0].kind", "rear corner rader", "unknown-word", "sensors[0].kind"),
        ("sensors[0].side", "each", "unknown-word", "sensors[0].side"),
        ("sensors[0].at", [1, 2], "wrong-type", "sensors[0].at"),
        ("sensors[0].facing", "north", "not-a-quantity", "sensors[0].facing"),
        ("sensors[0].at_height", 3, "unknown-field", "sensors[0].at_height"),
        ("tyre_width", 225, "field-repeated", "tyre_width"),
    ],
    "procedure": [
        ("units", GONE, "units-missing", "units"),
        ("sensor", GONE, "missing-field", "sensor"),
        ("sensor", "front camera of some kind", "unknown-word", "sensor"),
        ("sensor.side", "front", "unknown-word", "sensor.side"),
        ("method", "statical", "unknown-word", "method"),
        ("method", "static", "fields-conflict", "drive"),
        ("source", GONE, "missing-field", "source"),
        ("source.title", GONE, "missing-field", "source.title"),
        ("source.status", "checked", "unknown-word", "source.status"),
        ("source.read_on", "last week", "value-impossible", "source.read_on"),
        ("source.read_on", "0830", "value-impossible", "source.read_on"),
        ("source.read_on", datetime.time(8, 30), "wrong-type", "source.read_on"),
        ("supports", [], "list-empty", "supports"),
        ("supports", ["lift"], "unknown-word", "supports"),
        ("lift_height", [0.8, 0.2], "range-reversed", "lift_height"),
        ("wheels_on", "plate tectonics", "unknown-word", "wheels_on"),
        ("minutes.run", "-4 min", "value-impossible", "minutes.run"),
        ("minutes.running", 4, "unknown-field", "minutes.running"),
        ("people", -1, "value-impossible", "people"),
        ("people", 1.5, "wrong-type", "people"),
        ("light", -3, "value-impossible", "light"),
        ("floor_level.within", "3 lb", "unknown-unit", "floor_level.within"),
        ("floor_level.over", ["beam", "tires"], "unknown-reference", "floor_level.over[1]"),
        ("conditions[0].low", "3 bar", "range-reversed", "conditions[0].high"),
        ("conditions[0].low", "2 psi", "fields-conflict", "conditions[0].high"),
        ("conditions[0].low", [1], "wrong-type", "conditions[0].low"),
        ("drive.speed", [40, 25], "range-reversed", "drive.speed"),
        ("zones[0].needs", "empty", "unknown-word", "zones[0].needs"),
        ("zones[0].anchor", GONE, "missing-field", "zones[0].anchor"),
        ("zones[0].anchor", "wheel", "unknown-word", "zones[0].anchor"),
        ("zones[0].top", GONE, "missing-field", "zones[0].top"),
        ("zones[0].top", 0.2, "value-impossible", "zones[0].top"),
        ("zones[0].sector", GONE, "missing-field", "zones[0].outline"),
        ("zones[0].sector", [4, 1, 0, 90], "value-impossible", "zones[0].sector"),
        ("zones[0].sector", [1, 4, 0, 360], "value-impossible", "zones[0].sector"),
        ("zones[0].sector", [1, 4, 20, 20], "outline-no-area", "zones[0].sector"),
        ("zones[0].sector", [1, 4, 20], "wrong-type", "zones[0].sector"),
        ("zones[0].box", [0, 0, 1, 1], "fields-conflict", "zones[0].sector"),
        ("zones[1].turned", True, "fields-conflict", "zones[1].turned"),
        ("zones[1].name", "beam", "name-repeated", "zones[1].name"),
        ("targets[0].at", [1, 2], "wrong-type", "targets[0].at"),
        ("targets[0].facing", GONE, "missing-field", "targets[0].facing"),
        ("targets[0].size", [0, 1], "value-impossible", "targets[0].size"),
        ("targets[0].tolerance.along", -1, "value-impossible", "targets[0].tolerance.along"),
        ("targets[0].positions[0]", "there", "wrong-type", "targets[0].positions[0]"),
        ("targets[0].swept[1]", [1, NAN], "not-finite", "targets[0].swept[1]"),
        ("variants[0].zones[0].top", -1, "value-impossible", "variants[0].zones[0].top"),
        ("variants[0].suports", "floor", "unknown-field", "variants[0].suports"),
    ],
    "rules": [
        ("rules", 3, "wrong-type", "rules"),
        ("rules[0].event", GONE, "missing-field", "rules[0].event"),
        ("rules[0].event", "", "value-impossible", "rules[0].event"),
        ("rules[0].event", [], "list-empty", "rules[0].event"),
        ("rules[0].event", 5, "wrong-type", "rules[0].event"),
        ("rules[0].where", "middle", "unknown-word", "rules[0].where"),
        ("rules[0].part", 5, "wrong-type", "rules[0].part"),
        ("rules[0].vehicles", 5, "wrong-type", "rules[0].vehicles"),
        ("rules[0].vehicles", [5], "wrong-type", "rules[0].vehicles"),
        ("rules[0].calibrate", GONE, "missing-field", "rules[0].calibrate"),
        ("rules[0].calibrate", [], "list-empty", "rules[0].calibrate"),
        ("rules[0].calibrate[1]", "front facing camera thing", "unknown-word", "rules[0].calibrate[1]"),
        ("rules[0].calibrate[1]", 5, "wrong-type", "rules[0].calibrate[1]"),
        ("rules[0].calibrate[0].side", "front", "unknown-word", "rules[0].calibrate[0].side"),
        ("rules[0].calibrate[0].sides", "left", "unknown-field", "rules[0].calibrate[0].sides"),
        ("rules[0].how", "maybe", "unknown-word", "rules[0].how"),
        ("rules[0].how", GONE, "missing-field", "rules[0].how"),
        ("rules[0].because", GONE, "missing-field", "rules[0].because"),
        ("rules[0].because", "", "value-impossible", "rules[0].because"),
        ("rules[0].because", "x\x1by", "control-character", "rules[0].because"),
        ("rules[0].before", {"a": 1}, "wrong-type", "rules[0].before"),
        ("rules[0].source", False, "wrong-type", "rules[0].source"),
        ("rules[0].whose", "x", "unknown-field", "rules[0].whose"),
        ("rule", [], "unknown-field", "rule"),
    ],
    "job": [
        ("units", GONE, "units-missing", "units"),
        ("site", GONE, "missing-field", "site"),
        ("site", 4, "wrong-type", "site"),
        ("vehicle", GONE, "missing-field", "vehicle"),
        ("vehicle.name", GONE, "missing-field", "vehicle.name"),
        ("vehicle", 4, "wrong-type", "vehicle"),
        ("vehicle.fitted[0]", "radar", "unknown-word", "vehicle.fitted[0]"),
        ("fitted[0].side", "rear", "unknown-word", "fitted[0].side"),
        ("not_fitted[0]", "front radar", "fields-conflict", "not_fitted[0]"),
        ("order_number", [1], "wrong-type", "order_number"),
        ("drivable", "sometimes", "unknown-reference", "drivable"),
        ("drivable", 1, "wrong-type", "drivable"),
        ("scans", {"between": []}, "unknown-word", "scans"),
        ("arrives", "tomorrow", "value-impossible", "arrives"),
        ("arrives", 8, "wrong-type", "arrives"),
        ("events[0].event", " ", "value-impossible", "events[0].event"),
        ("events[0].event", 7, "wrong-type", "events[0].event"),
        ("arrives", "08:30", "value-impossible", "arrives"),
        ("arrives", "2026-03-02T08:30:00+01:00", "value-impossible", "arrives"),
        ("promised", "2026-03-01", "range-reversed", "promised"),
        ("promised", "2026-03-02T08:30:00", "range-reversed", "promised"),
        ("work[0].stage", "final", "unknown-word", "work[0].stage"),
        ("work[0].blocks", GONE, "missing-field", "work[0].blocks"),
        ("done[0].at", GONE, "missing-field", "done[0].at"),
        ("done[0].at", "2026-03-02", "value-impossible", "done[0].at"),
        ("done[0].at", "2026-03-02T08:00", "range-reversed", "done[0].at"),
        ("stands", "here", "wrong-type", "stands"),
        ("stands.heading", GONE, "missing-field", "stands.heading"),
        ("stands.at", "garden:north", "value-impossible", "stands.at"),
        ("stands.at", "bay:", "value-impossible", "stands.at"),
        ("stands.at", "bay:long bay", "fields-conflict", "stands.heading"),
        ("stands.at", [6, NAN], "not-finite", "stands.at"),
        ("events[0].where", "top", "unknown-word", "events[0].where"),
        ("work[0].name", GONE, "missing-field", "work[0].name"),
        ("work[0].minutes", GONE, "missing-field", "work[0].minutes"),
        ("work[0].minutes", [90, 60], "range-reversed", "work[0].minutes"),
        ("work[0].minutes", "an hour", "not-a-quantity", "work[0].minutes"),
        ("work[0].after", ["glass"], "value-impossible", "work[0].after"),
        ("work[0].supports", ["roof"], "unknown-word", "work[0].supports"),
        ("work[0].zones[0].top", -2, "value-impossible", "work[0].zones[0].top"),
        ("work[0].wait", "1 kg", "unknown-unit", "work[0].wait"),
        ("work[0].blocks", "bay", "unknown-word", "work[0].blocks"),
        ("work[1]", {"name": "glass", "minutes": 3}, "name-repeated", "work[1].name"),
        ("readings[0].value", "much", "not-a-quantity", "readings[0].value"),
        ("readings[0].u", -1, "value-impossible", "readings[0].u"),
        ("decisions[0].verdict", "perhaps", "unknown-word", "decisions[0].verdict"),
        ("decisions[0].verdict", GONE, "missing-field", "decisions[0].verdict"),
        ("decisions[1].drop", True, "fields-conflict", "decisions[1].verdict"),
        ("decisions[0].procedure", GONE, "missing-field", "decisions[0].procedure"),
        ("decisions[0].event", "windshield replaced", "fields-conflict", "decisions[0].procedure"),
        ("decisions[2].event", "hail", "unknown-reference", "decisions[2].event"),
        ("decisions[0].on", "soon", "value-impossible", "decisions[0].on"),
        ("decisions[0].because", GONE, "missing-field", "decisions[0].because"),
    ],
    "mix": [
        ("vehicles", GONE, "missing-field", "vehicles"),
        ("vehicles", [], "list-empty", "vehicles"),
        ("vehicles", "whole car", "wrong-type", "vehicles"),
        ("vehicles", {"name": "whole car", "share": 1}, "wrong-type", "vehicles"),
        ("vehicles[0].name", GONE, "missing-field", "vehicles[0].name"),
        ("vehicles[0].name", 3, "wrong-type", "vehicles[0].name"),
        ("vehicles[0].name", "", "value-impossible", "vehicles[0].name"),
        ("vehicles[0].share", GONE, "missing-field", "vehicles[0].share"),
        ("vehicles[0].share", -1, "value-impossible", "vehicles[0].share"),
        ("vehicles[0].share", "much", "wrong-type", "vehicles[0].share"),
        ("vehicles[0].share", True, "wrong-type", "vehicles[0].share"),
        ("vehicles[0].share", NAN, "not-finite", "vehicles[0].share"),
        ("vehicles[0].share", math.inf, "not-finite", "vehicles[0].share"),
        ("vehicles[0].share", 10**400, "too-large", "vehicles[0].share"),
        ("vehicles[0].share", 1e15, "value-impossible", "vehicles[0].share"),
        ("vehicles[0].share", datetime.date(2026, 1, 1), "wrong-type", "vehicles[0].share"),
        ("vehicles[0].share", [1, 2], "wrong-type", "vehicles[0].share"),
        ("vehicles[0].share", 0, "value-impossible", "vehicles"),
        ("vehicles[0].shares", 3, "unknown-field", "vehicles[0].shares"),
        ("vehicles[1]", {"name": "whole car", "share": 1}, "name-repeated", "vehicles[1].name"),
        ("vehicles[1]", 5, "wrong-type", "vehicles[1]"),
    ],
    "study": [
        ("sites", GONE, "missing-field", "sites"),
        ("sites", [], "list-empty", "sites"),
        ("bays[0]", "elsewhere/one", "unknown-reference", "bays[0]"),
        ("mix", GONE, "missing-field", "mix"),
        ("conditional", "perhaps", "wrong-type", "conditional"),
        ("work", GONE, "missing-field", "work"),
        ("work", [], "list-empty", "work"),
        ("work[0].per_year", GONE, "missing-field", "work[0].per_year"),
        ("work[0].per_year", -1, "value-impossible", "work[0].per_year"),
        ("work[0].events[0].event", 7, "wrong-type", "work[0].events[0].event"),
        ("work[0].events", GONE, "missing-field", "work[0].procedures"),
        ("work[1].events", ["windshield replaced"], "fields-conflict", "work[1].procedures"),
        ("work[1].often", 3, "unknown-field", "work[1].often"),
        ("search.types", 5, "wrong-type", "search.types"),
        ("search.move", [], "unknown-field", "search.move"),
        ("search", 5, "wrong-type", "search"),
        ("mix", 5, "wrong-type", "mix"),
        ("work", "bumper", "wrong-type", "work"),
        ("work[0]", 5, "wrong-type", "work[0]"),
        ("work[0].per_year", "many", "wrong-type", "work[0].per_year"),
        ("work[0].per_year", math.inf, "not-finite", "work[0].per_year"),
        ("work[0].events[0].where", "top", "unknown-word", "work[0].events[0].where"),
        ("bays", 5, "wrong-type", "bays"),
    ],
    "survey": [
        ("site", GONE, "missing-field", "site"),
        ("site", 3, "wrong-type", "site"),
        ("units", GONE, "units-missing", "units"),
        ("state", "down", "wrong-type", "state"),
        ("state", {"lift a": 3}, "wrong-type", "state.lift a"),
        ("instrument", 3, "wrong-type", "instrument"),
        ("u", -1, "value-impossible", "u"),
        ("u", 0, "value-impossible", "u"),
        ("u", "1 kg", "unknown-unit", "u"),
        ("points[0]", [1, 1, 0, 0], "value-impossible", "points[0]"),
        ("points[3].name", "B", "name-repeated", "points[4].name"),
        ("points[4].name", "D", "missing-field", "points[4].height"),
        ("points[3].height", GONE, "value-impossible", "loops"),
        ("loops[0].u", 0, "value-impossible", "loops[0].u"),
        ("loops[0].rows[0].back", GONE, "value-impossible", "loops[0].rows[0].back"),
        ("loops[0].rows[1].fore", GONE, "missing-field", "loops[0].rows[1].fore"),
        ("loops[0].rows[3].fore", GONE, "value-impossible", "loops[0].rows[3].fore"),
        ("loops[0].rows[3].point", "C", "value-impossible", "loops[0].rows[3].point"),
        ("points", GONE, "missing-field", "points"),
        ("points", [[0, 0, 0], [1, 0, 0]], "list-empty", "points"),
        ("points", "many", "wrong-type", "points"),
        ("points[0]", [1, 2], "wrong-type", "points[0]"),
        ("points[0]", [1, 1, NAN], "not-finite", "points[0]"),
        ("points[0]", [5, 1, 0], "value-impossible", "points[1]"),
        ("points[2].at", [1], "wrong-type", "points[2].at"),
        ("points[2].height", GONE, "missing-field", "points[2].height"),
        ("points[2].height", "high", "not-a-quantity", "points[2].height"),
        ("points[2].u", -0.1, "value-impossible", "points[2].u"),
        ("points[2].z", 1, "unknown-field", "points[2].z"),
        ("lines[0].name", GONE, "missing-field", "lines[0].name"),
        ("lines[0].heights", [0, 1], "list-empty", "lines[0].heights"),
        ("lines[1]", {"name": "along the pit", "heights": [0, 0, 0]}, "name-repeated", "lines[1].name"),
    ],
    "setup": [
        ("job", GONE, "missing-field", "job"),
        ("procedure", "", "value-impossible", "procedure"),
        ("units", GONE, "units-missing", "units"),
        ("stance", GONE, "missing-field", "stance"),
        ("stance.at", [1, 2, 3], "wrong-type", "stance.at"),
        ("stance.heading", "north", "not-a-quantity", "stance.heading"),
        ("stance.height", -1, "value-impossible", "stance.height"),
        ("instruments[0].what", "weight", "unknown-word", "instruments[0].what"),
        ("instruments[0].u", 0, "value-impossible", "instruments[0].u"),
        ("instruments[0].u", "1 deg", "wrong-type", "instruments[0].u"),
        ("instruments[0].effort", 0, "value-impossible", "instruments[0].effort"),
        ("instruments[0].lines", ["wall"], "unknown-word", "instruments[0].lines"),
        ("readings[0].what", GONE, "missing-field", "readings[0].what"),
        ("readings[0].value", GONE, "missing-field", "readings[0].value"),
        ("readings[0].value", "far", "not-a-quantity", "readings[0].value"),
        ("readings[0].value", "3 deg", "wrong-type", "readings[0].value"),
        ("readings[0].value", NAN, "not-finite", "readings[0].value"),
        ("readings[0].u", 0, "value-impossible", "readings[0].u"),
        ("readings[0].from", ["a", "b"], "value-impossible", "readings[0].from"),
        ("readings[0].to", GONE, "missing-field", "readings[0].to"),
        ("readings[2].from", "reflector", "value-impossible", "readings[2].from"),
        ("readings[2].u", GONE, "missing-field", "readings[2].u"),
        ("readings[4].to", "reflector", "value-impossible", "readings[4].to"),
        ("readings[4].value", "3 mm", "wrong-type", "readings[4].value"),
        ("alignment[0].what", "toe", "unknown-word", "alignment[0].what"),
        ("alignment[0].u", -1, "value-impossible", "alignment[0].u"),
        ("alignment[0].u", 0, "value-impossible", "alignment[0].u"),
        ("alignment[0].u", "1 mm", "wrong-type", "alignment[0].u"),
        ("alignment[0].value", GONE, "missing-field", "alignment[0].value"),
        ("alignment[0].value", "1 mm", "missing-field", "alignment[0].diameter"),
        ("alignment[1].value", 0.59, "wrong-type", "alignment[1].value"),
        ("alignment[1].value", "17 in", "value-impossible", "alignment[1].value"),
        ("alignment[1].u", "1 arcmin", "wrong-type", "alignment[1].u"),
        ("alignment[2].what", "camber rear left", "value-impossible", "alignment[2].sweep"),
        ("alignment[2].value", 4, "fields-conflict", "alignment[2].value"),
        ("alignment[2].sweep.steer", 40, "value-impossible", "alignment[2].sweep.steer"),
        ("alignment[2].sweep.u", 0, "value-impossible", "alignment[2].sweep.u"),
        ("alignment[2].sweep.u_steer", GONE, "missing-field", "alignment[2].sweep.u_steer"),
        ("alignment[3].value", "2 mm", "wrong-type", "alignment[3].value"),
        ("alignment[1].what", "toe rear left", "name-repeated", "alignment[1].what"),
        ("conditions[0].u", 0, "value-impossible", "conditions[0].u"),
        ("conditions[0].u", "1 kg", "unknown-unit", "conditions[0].u"),
        ("conditions[0].value", GONE, "missing-field", "conditions[0].value"),
    ],
}

ALL = [(kind, *case) for kind in KINDS for case in (*HEAD, *CASES[kind])]


@pytest.mark.parametrize(("kind", "path", "value", "code", "field"), ALL)
def test_one_thing_wrong(kind: str, path: str, value: object, code: str, field: str) -> None:
    found = read_document(put(whole(kind), path, value), "x.toml")
    assert (code, field) in {(fault.code, fault.field) for fault in found.faults}
    # A moved pit, a wider car, a car that its outline no longer is.
    follows = {"voids[0].covers[0].box", "voids[0].covers[1].box", "width_over_mirrors", "outline"}
    assert {fault.field for fault in found.faults} <= {field, *follows}  # one mistake, one fault
    assert found.form is None
    for fault in found.faults:
        assert fault.code in FAULT_CODES
        assert fault.file == "x.toml"
        assert fault.what
        assert len(fault.value) <= 80
        assert ENGLISH.reason(fault.remedy).endswith((".", "?"))


def test_an_outline_is_held_against_all_other_dimensions_at_once() -> None:
    """All that is wrong with it in one reading, with figures, in both languages; 20 mm off is as well as one tapes."""
    body = [
        [-1200, -1000],
        [3500, -1000],
        [3500, 900],
        [2800, 900],
        [2800, 500],
        [2600, 500],
        [2600, 900],
        [-1200, 900],
    ]
    found = read_document(put(whole("vehicle"), "outline", body), "x.toml")
    (fault,) = found.faults
    differs = fault.what["differs"]
    assert isinstance(differs, tuple)
    assert [d.code for d in differs if isinstance(d, Reason)] == [
        "outline-of-other-length",
        "outline-of-other-width",
        "outline-of-other-front",
        "outline-off-centerline",
        "wheel-outside-outline",
    ]
    said = ENGLISH.reason(fault.what)
    assert "the outline is 4.700 m long, the length is 4.600 m" in said
    assert "100 mm outside" in said
    assert "el largo es 4.600 m" in SPANISH.reason(fault.what)
    near = [[-1015, -930], [3595, -810], [3595, 810], [-1015, 920]]
    assert not read_document(put(whole("vehicle"), "outline", near), "x.toml").faults


def test_a_car_with_an_outline_needs_no_estimate_of_its_front() -> None:
    found = read_document(put(whole("vehicle"), "front_overhang", GONE), "x.toml")
    assert isinstance(found.form, VehicleForm)
    car = to_vehicle(found.form)
    assert car.front_overhang_m == pytest.approx(0.9)
    assert "front_overhang" not in car.estimated


def test_the_table_is_long_enough() -> None:
    assert all(len(CASES[kind]) >= 20 for kind in KINDS)


def test_all_faults_of_a_document_come_together() -> None:
    """Faults of single values do not hide faults between fields, not even within one item."""
    site = whole("site")
    for path, value in {
        "colour": 1,
        "clear_height": "4 kg",
        "obstacles[0].circle": [1, 1],
        "obstacles[0].top": 0.1,
        "obstacles[1]": {"name": "bench", "box": [90, 90, 91, 91], "top": NAN},
        "doors[0].from": [10, 5],
        "doors[0].metal": "no",
        "bays[0].closed_edges": [9],
        "lifts[1].states[1].deck_height": [2, 1],
        "voids[0].closed": ["nothing"],
    }.items():
        site = put(site, path, value)
    found = {(fault.code, fault.field) for fault in read_document(site, "x").faults}
    assert found >= {
        ("unknown-field", "colour"),
        ("unknown-unit", "clear_height"),
        ("wrong-type", "obstacles[0].circle"),
        ("value-impossible", "obstacles[0].top"),
        ("name-repeated", "obstacles[1].name"),
        ("outside-floor", "obstacles[1].box"),
        ("not-finite", "obstacles[1].top"),
        ("not-on-outline", "doors[0].from"),
        ("wrong-type", "doors[0].metal"),
        ("value-impossible", "bays[0].closed_edges[0]"),
        ("range-reversed", "lifts[1].states[1].deck_height"),
        ("unknown-reference", "voids[0].closed[0]"),
    }


def test_an_item_that_cannot_be_mended_does_not_move_the_others() -> None:
    site = put(whole("site"), "obstacles[0]", 7)
    site = put(site, "obstacles[1]", {"name": "low", "box": [1, 1, 2, 2], "bottom": 3, "top": 2})
    found = [(fault.code, fault.field) for fault in read_document(site, "x").faults]
    assert found == [("wrong-type", "obstacles[0]"), ("value-impossible", "obstacles[1].top")]


@pytest.mark.parametrize(
    ("kind", "path", "value", "word"),
    [
        ("site", "obstakles", [], "obstacles"),
        ("site", "doors[0].hight", 3, "height"),
        ("procedure", "variants[0].zones[0].neds", "clear", "needs"),
        ("site", "lifts[1].stats", [], "states"),
        ("vehicle", "sensors[0].kind", "rear corner rader", "rear corner radar"),
        ("rules", "rules[0].where", "fornt", "front"),
        ("job", "decisions[2].event", "ladder fell on a hood", "ladder fell on the hood"),
        ("mix", "kind", "mixx", "mix"),
        ("site", "clear_height", "4 metr", "metre"),
    ],
)
def test_the_nearest_word_is_offered(kind: str, path: str, value: object, word: str) -> None:
    fault = read_document(put(whole(kind), path, value), "x").faults[0]
    assert ENGLISH.reason(fault.remedy).startswith(f"Did you mean {word}")


def test_deep_nesting_is_refused_at_once() -> None:
    deep: list[object] = []
    for _ in range(500):
        deep = [deep]
    found = read_document(whole("site") | {"holes": deep}, "x").faults
    assert [fault.code for fault in found] == ["too-deep"]


def test_wrong_units_show_in_the_sizes() -> None:
    found = read_document(put(whole("vehicle"), "units", "m"), "x").faults
    assert ("value-impossible", "length") in {(fault.code, fault.field) for fault in found}


@pytest.mark.parametrize("content", [None, 3, "text", [], [1]])
def test_a_document_must_be_a_table(content: object) -> None:
    assert [fault.code for fault in read_document(content, "x").faults] == ["wrong-type"]


def test_many_faults_are_cut_off() -> None:
    site = whole("site") | {f"field {i}": i for i in range(10_000)}
    assert len(read_document(site, "x").faults) == 200
