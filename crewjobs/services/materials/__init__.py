"""Material: what came, lots, orders, returns, and what to do next about them."""
