"""job.ics: build, guests and take-down, for the crew's calendars."""

from airwright.papers.calendar.model import Appointment, appointments_of
from airwright.papers.calendar.render import make, render

__all__ = ["Appointment", "appointments_of", "make", "render"]
