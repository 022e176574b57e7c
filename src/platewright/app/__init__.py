"""One function per user action."""
