"""dryhop: rehearse the bench set-up and first hover of a small quadrotor without the aircraft."""

__version__ = "0.1.0"
