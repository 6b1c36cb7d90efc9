"""Where does every unit run, in millimetres, and how long is it?"""
