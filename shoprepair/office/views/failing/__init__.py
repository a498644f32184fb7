"""What fails, and how long repairs hold: reports drawn on the server."""
