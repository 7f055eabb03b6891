-- Looks at the worst that normal use does to each resistor, as the core has worked it out.
local function check(jig)
  local found = {}
  for _, part in jig:parts("resistor") do
    local power = jig:stress(part.name, "power", "normal")
    if power and power.rating and power.value > jig.settings.share * power.rating then
      found[#found + 1] = caution {
        check = "warm-resistor",
        parts = { part.name },
        condition = power.condition,
        quantity = "power",
        value = power.value,
        unit = "W",
        limit = jig.settings.share * power.rating,
        message = part.name .. " takes " .. format(power.value, "W") .. " of the " .. format(power.rating, "W") .. " it is rated for",
        remedy = "take a resistor rated for " .. format(power.value / jig.settings.share, "W") .. " or more",
      }
    end
  end
  return found
end

return { check = check }
