"""The pixel back end: the only place that knows the media library."""
