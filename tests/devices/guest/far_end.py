#!/usr/bin/python3
"""Runs in the guest: the meter's end of the CDC port, which the kernel's gadget gives as a terminal.
Lines of hex on standard input are sent; what the program writes is printed as JSON lines."""
import json
import os
import select

far = os.open("/dev/ttyGS0", os.O_RDWR | os.O_NOCTTY)


def say(**what):
    print(json.dumps(what), flush=True)


say(event="there")
typed = b""
while True:
    ready, _, _ = select.select([0, far], [], [])
    if far in ready:
        try:
            heard = os.read(far, 4096)
        except OSError:
            heard = b""
        if not heard:  # its USB device was taken away
            break
        say(heard=heard.hex())
    if 0 in ready:
        more = os.read(0, 4096)
        if not more:
            break
        *lines, typed = (typed + more).split(b"\n")
        for line in lines:
            os.write(far, bytes.fromhex(line.decode()))
