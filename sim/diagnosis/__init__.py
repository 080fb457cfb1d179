"""What readings are worth: measured detection power, and studies of many attempts."""
