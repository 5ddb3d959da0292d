"""What a person does with longpole, one function each: the only face shown to the screens, the
commands and the scripts.

Reading questions take one dated snapshot and return frozen answers. Heavy libraries are loaded by
the function that needs them, so that the first screen does not wait for them.
"""
