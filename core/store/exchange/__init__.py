"""Files in and out: imports with all their checks, exports, templates."""
