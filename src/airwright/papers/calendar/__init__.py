"""job.ics: build, guests and take-down, for the crew's calendars."""

from airwright.papers.calendar.model import Appointment, appointments_of
from airwright.papers.calendar.render import make, render
from airwright.papers.common.document import Audience

AUDIENCE = Audience.CREW

__all__ = ["AUDIENCE", "Appointment", "appointments_of", "make", "render"]
