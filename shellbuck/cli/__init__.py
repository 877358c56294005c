"""The command line. Heavy imports stay inside the commands."""

from .main import entry

__all__ = ["entry"]
