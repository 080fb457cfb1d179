"""The one state machine that everything drives: window, stand-ins, replay, studies, tests."""
