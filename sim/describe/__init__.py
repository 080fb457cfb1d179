"""An aircraft that lies on somebody's bench, from what can be read off it and measured on it."""
