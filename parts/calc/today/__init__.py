"""What needs each person on one day: the storeroom, the maintenance lead, purchasing."""
