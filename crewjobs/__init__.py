"""crewjobs: job tracking and week planning for small flooring crews."""

__version__ = "0.1.0"
