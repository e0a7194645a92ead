"""Captured files: checked, listened to, lined up by, handed on."""
