"""The chart and the week as plain text, for pipes and terminals that show no screen."""
