"""The people of a shop: who may do what, who signs in, and who vouches for what by a PIN."""
