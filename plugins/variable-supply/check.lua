-- A variable supply, a transformer with a brush in a box: one with a shared winding isolates nothing; the brush needs a fuse of its
-- own; the travel goes above the mains.

-- Nets that the parts of these kinds join to a net, with every switch on or, where it has positions, at any of them.
local function reach(jig, net, kinds)
  local seen, queue = { [net] = true }, { net }
  local function step(a, b, here)
    local other = if a == here then b elseif b == here then a else nil
    if other and not seen[other] then
      seen[other] = true
      table.insert(queue, other)
    end
  end
  while #queue > 0 do
    local here = table.remove(queue)
    for _, kind in kinds do
      for _, part in jig:parts(kind) do
        if kind == "switch" then
          for _, position in part.positions do
            for _, pair in position.joins do step(pair[1], pair[2], here) end
          end
        else
          step(part.across[1], part.across[2], here)
        end
      end
    end
  end
  return seen
end

-- Ends of the secondary that the primary does not share: the brush of an autotransformer, both ends of windings that are apart.
local function free_ends(part, secondary)
  local shared = reach_all(part.jig, part.primary.across)
  local list = {}
  for _, net in secondary.across do
    if not shared[net] then table.insert(list, net) end
  end
  return list
end

local function fused(found, jig, part, secondary, free)
  local rating
  if part.power then rating = part.power / secondary.volts end
  local bare = reach(jig, free, { "wire", "switch" })
  for _, outlet in jig:outlets() do
    for _, terminal in outlet.across do
      if bare[terminal] then
        table.insert(found, warning{
          check = "no-brush-fuse",
          message = string.format("no fuse stands between the brush of %s and %s: turned low, a shorted outlet burns the few turns under the brush while the fuse before the transformer sees next to nothing", part.name, outlet.name),
          remedy = if rating then string.format("put a fuse of at most %s between the brush and the outlet", format(rating * limit("brush-fuse"), "A")) else "put a fuse of the brush's rating between the brush and the outlet",
          parts = { part.name }, nets = { free }, line = outlet.line, condition = "dial low, " .. outlet.name .. " shorted",
        })
      end
    end
  end
  if rating == nil then
    table.insert(found, caution{
      check = "brush-rating-unknown",
      message = part.name .. " does not state its power, so what its brush may carry is not known",
      remedy = "write power = \"500 VA\" as its plate says; the brush carries that over the highest volts of the dial",
      parts = { part.name }, condition = "as written",
    })
    return
  end
  local most, _, source = limit("brush-fuse")
  for _, fuse in jig:parts("fuse") do
    if bare[fuse.across[1]] or bare[fuse.across[2]] then
      local share = fuse.current / rating
      if share > most then
        table.insert(found, warning{
          check = "brush-fuse",
          message = string.format("%s of %s guards a brush that bears %s (%s at %s): it burns its track before the fuse opens, at every setting of the dial",
            fuse.name, format(fuse.current, "A"), format(rating, "A"), format(part.power, "VA"), format(secondary.volts, "V")),
          remedy = string.format("fit a fuse of at most %s", format(rating * most, "A")),
          parts = { fuse.name, part.name }, condition = "any setting of the dial", quantity = "fuse over brush rating", value = share, source = source,
        })
      end
    end
  end
end

local function travel(found, jig, part, secondary)
  local times = jig.supply.high * secondary.volts / part.primary.volts / jig.supply.nominal
  local most = limit("travel")
  if times <= most then return end
  table.insert(found, caution{
    check = "travel",
    message = string.format("turned up on high mains the outlet has %s, %.0f %% of the nominal volts: a slip of the hand kills what is on it", format(times * jig.supply.nominal, "V"), 100 * times),
    remedy = string.format("set the stop of the dial at %s, or feed the winding at a higher tap", format(part.primary.volts * most * jig.supply.nominal / jig.supply.high, "V")),
    parts = { part.name }, condition = "mains high, dial at its end", quantity = "outlet over nominal", value = times,
  })
end

-- The magnetising rush of a ring core is many times its running current: only a slow fuse stands it.
local function rush(found, jig, part)
  for _, net in part.primary.across do
    local near = reach(jig, net, { "wire", "switch" })
    for _, fuse in jig:parts("fuse") do
      local speed = string.upper(fuse.speed or "")
      if (near[fuse.across[1]] or near[fuse.across[2]]) and string.match(speed, "^F") then
        table.insert(found, notice{
          check = "quick-fuse",
          message = string.format("%s before %s is quick (%s): the rush of a ring core at switch-on blows it now and then, and sooner or later someone fits a larger one", fuse.name, part.name, fuse.speed),
          remedy = "fit a slow fuse (T) of the same size",
          parts = { fuse.name, part.name }, condition = "switched on near the zero of the mains",
        })
      end
    end
  end
end

return {
  check = function(jig)
    local found = {}
    for _, part in jig:parts("transformer") do
      for _, secondary in part.secondaries do
        local free = brush(part, secondary)
        if free then
          apart(found, jig, part)
          fused(found, jig, part, secondary, free)
          travel(found, jig, part, secondary)
          rush(found, jig, part)
        end
      end
    end
    return found
  end,
}
