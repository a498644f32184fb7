"""Every screen and paper of the shop in all its states, as pictures on one contact sheet."""
