-- A plugin of fifty lines, of the kind that shops write: it looks at every part and joint and words what it finds.
local function heat(found, jig, part)
  local power = jig:stress(part.name, "power", "normal")
  if power == nil or power.rating == nil then return end
  local most = jig.settings.share * power.rating
  if power.value <= most then return end
  table.insert(found, caution{
    check = "warm",
    message = part.name .. " takes " .. format(power.value, "W") .. " of its " .. format(power.rating, "W"),
    remedy = "take a part rated for " .. format(power.value / jig.settings.share, "W"),
    parts = { part.name }, condition = power.condition,
    quantity = "power", value = power.value, unit = "W", limit = most,
  })
end

local function live(jig)
  local nets = {}
  for _, net in jig:nets() do
    if net.mains and net.touchable then table.insert(nets, net.name) end
  end
  return nets
end

local function bridged(found, jig, part)
  local a, b = part.across[1], part.across[2]
  if not jig:joined(a, b) then return end
  table.insert(found, notice{
    check = "bridged", message = string.format("%s lies between %s and %s, which are joined", part.name, a, b),
    remedy = "take it out", parts = { part.name }, condition = "as wired",
  })
end

return {
  check = function(jig)
    local found, lamps = {}, 0
    local least = limit("warm")
    for _, part in jig:parts() do
      if part.kind == "resistor" then heat(found, jig, part) end
      if part.across and part.kind ~= "wire" then bridged(found, jig, part) end
      if part.kind == "neon-lamp" or part.kind == "led" then lamps += 1 end
    end
    local nets = live(jig)
    if #nets > 0 or lamps == 0 then
      table.insert(found, warning{
        check = "bare", message = string.format("%d nets, %d lamps", #nets, lamps), remedy = "cover them",
        nets = nets, condition = "as wired", value = least * quantity("1 V"),
      })
    end
    return found
  end,
}
