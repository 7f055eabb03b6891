-- A probe empties a capacitor out of sight. Its lamp is what tells the hand to wait.

local function check(jig)
    if #jig:parts("led") + #jig:parts("neon-lamp") > 0 then
        return {}
    end
    return {
        caution {
            check = "probe-without-lamp",
            message = "nothing on the probe shows whether there is still charge on its tips",
            remedy = "put two LEDs, one each way round, with their own resistor across the last resistor of the string",
            source = "common practice",
        },
    }
end

return { check = check }
