"""Steel tyres shrunk on iron wheel centres: the ring's sums, one judge, and its words."""
