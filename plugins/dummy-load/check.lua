-- A dummy load: elements that turn the mains into heat, in a box that is left on.

local WAYS = { "wire", "fuse", "thermal-fuse", "switch" }

-- Parts that take the watts: resistors, windings and filament lamps that hang across both poles, alone or in a row. A part of less
-- than a hundredth of the largest is a pilot's.
local function elements(jig)
  local list, most = {}, 0
  for _, kind in { "resistor", "filament-lamp" } do
    for _, part in jig:parts(kind) do
      local stress = jig:stress(part.name, "power", "normal")
      local watts = stress and stress.nominal or 0
      most = math.max(most, watts)
      table.insert(list, { part = part, watts = watts, stress = stress })
    end
  end
  local out = {}
  for _, one in list do
    if one.watts > most / 100 then table.insert(out, one) end
  end
  return out
end

-- What the whole takes at the nominal mains with everything on.
local function drawn(jig)
  local s, sum = jig:solve{ supply = "nominal" }, 0
  if s == nil then return nil end
  for _, kind in { "resistor", "filament-lamp" } do
    for _, part in jig:parts(kind) do
      local state = s.parts[part.name]
      if state then sum += state.power end
    end
  end
  return sum
end

local function told(found, jig, list)
  local written, watts = jig.settings.watts, drawn(jig)
  if written <= 0 or watts == nil then return end
  local off = math.abs(watts - written) / written
  if off > limit("watts-told") then
    local names = {}
    for _, one in list do table.insert(names, one.part.name) end
    table.insert(found, caution{
      check = "watts-told",
      message = string.format("the box says %s and takes %s with every switch on: what is tested with it is tested with another load", format(written, "W"), format(watts, "W")),
      remedy = string.format("write %s on it, or take other elements", format(watts, "W")),
      parts = names, condition = "mains nominal, every switch on", quantity = "difference over what is written", value = off,
    })
  end
end

local function half(found, list)
  local names, worst, at = {}, 0, nil
  for _, one in list do
    if one.part.kind == "resistor" and one.part.power and one.watts / one.part.power > limit("half-rating") then
      table.insert(names, one.part.name)
      if one.watts / one.part.power > worst then worst, at = one.watts / one.part.power, one end
    end
  end
  if at == nil then return end
  table.insert(found, caution{
    check = "half-rating",
    message = string.format("%s takes %s of the %s that it may take alone in free air: in a box, hour by hour, it is too hot", at.part.name, format(at.watts, "W"), format(at.part.power, "W")),
    remedy = string.format("take one of %s or more, or blow air over it", format(at.watts / limit("half-rating"), "W")),
    parts = names, condition = "mains nominal", quantity = "watts over rated watts", value = worst,
  })
end

-- A thermal fuse in the way of all elements, or of each its own.
local function cut_out(found, jig, list)
  local watts = drawn(jig) or 0
  if watts <= limit("no-cut-out") then return end
  local bare = {}
  local without = { "wire", "fuse", "switch", "resistor", "filament-lamp" }
  local one, two = jig:reach{ from = "L", through = without }, jig:reach{ from = "N", through = without }
  for _, e in list do
    local a, b = e.part.across[1], e.part.across[2]
    if one[a] and two[b] or one[b] and two[a] then
      -- A walk through the other elements reaches everything; what counts is the way without this one.
      local past = jig:reach{ from = "L", through = without, except = e.part.name }
      local back = jig:reach{ from = "N", through = without, except = e.part.name }
      if past[a] and back[b] or past[b] and back[a] then table.insert(bare, e.part.name) end
    end
  end
  if #bare == 0 then return end
  table.insert(found, caution{
    check = "no-cut-out",
    message = string.format("%s of heat, and nothing ends it: with its vents covered it gets hotter until something burns", format(watts, "W")),
    remedy = "put a thermal fuse in the way of the elements, on the hottest of them: on = \"" .. bare[1] .. "\"",
    parts = bare, condition = "vents covered", quantity = "watts", value = watts,
  })
end

local function unnoticed(found, jig, list)
  if #list < 2 or jig.settings.meter then return end
  local lamps = #jig:parts("neon-lamp") + #jig:parts("led")
  local beside = {}
  for _, one in list do
    for _, other in list do
      if one ~= other and jig:joined(one.part.across[1], other.part.across[1]) and jig:joined(one.part.across[2], other.part.across[2])
        or one ~= other and jig:joined(one.part.across[1], other.part.across[2]) and jig:joined(one.part.across[2], other.part.across[1]) then
        beside[one.part.name] = true
      end
    end
  end
  local names = {}
  for _, one in list do
    -- A filament shows by itself that it burns.
    if beside[one.part.name] and one.part.kind ~= "filament-lamp" then table.insert(names, one.part.name) end
  end
  if #names == 0 or lamps >= #names then return end
  table.insert(found, notice{
    check = "unnoticed-open",
    message = string.format("%s lie side by side: one of them open leaves the rest, and nothing shows it", table.concat(names, ", ")),
    remedy = "put a lamp to each or a meter before all, and set [plugin.dummy-load] meter = true",
    parts = names, condition = names[1] .. " open",
  })
end

return {
  check = function(jig)
    local found, list = {}, elements(jig)
    if #list == 0 then
      table.insert(found, caution{
        check = "no-element", message = "the file states no resistor or filament that takes watts, so nothing of this load was judged",
        remedy = "write each element as a part of kind \"resistor\" or \"filament-lamp\", with its rated watts", condition = "as written",
      })
      return found
    end
    told(found, jig, list)
    half(found, list)
    cut_out(found, jig, list)
    unnoticed(found, jig, list)
    return found
  end,
}
