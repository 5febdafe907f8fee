"""The sample kitchen without the reading of its old wall paint: what is shown of its walls is then a guess."""

from matcher.service.desk import Desk, list_rooms, load_room, save_document
from matcher.service.records import User


def take_reading_off(desk: Desk, user: User) -> None:
    """Take every reading of an instrument out of the sample kitchen."""
    summary = next(room for room in list_rooms(desk, user) if room.name == "Hazel Close kitchen")
    room = load_room(desk, user, summary.id)
    save_document(desk, user, room.id, {**room.document, "surfaces": []}, revision=room.revision)
