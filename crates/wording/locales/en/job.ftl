# The words of a visit: findings, orders, cautions, methods, sources.
