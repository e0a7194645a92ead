"""The pieces and passes of one tape laid together."""
