"""What is on the window, a module a screen."""
