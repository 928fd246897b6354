"""The wire: pages, REST and sockets over the engine. Knows Flask; decides nothing about food."""
