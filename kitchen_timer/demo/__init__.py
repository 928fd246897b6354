"""An evening at an invented place: guests who order, cooks who tap. Everything here is made up, and says so."""
