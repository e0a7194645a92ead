"""Captures kept: manifests, looks at the disk, folders for handing over."""
