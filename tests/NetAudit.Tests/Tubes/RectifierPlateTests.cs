using NetAudit.Circuits.Tubes;
using Xunit;

namespace NetAudit.Tests.Tubes;

public class RectifierPlateTests
{
    [Fact]
    public void Find_EveryRectifierOfTheTable_HasAPlateLaw()
    {
        foreach (var type in TubeCatalogue.All.Where(type => type.Kind == "rectifier"))
        {
            foreach (var name in type.Aliases.Append(type.Name))
            {
                var law = RectifierPlates.Find(name);
                Assert.NotNull(law);
                // From the data sheets' drop at the rated current: tens of volts.
                var drop = Math.Pow(0.15 / law.Perveance, 1 / law.Exponent);
                Assert.InRange(drop, 8, 30);
            }
        }
        Assert.Null(RectifierPlates.Find("12AX7"));
    }
}
