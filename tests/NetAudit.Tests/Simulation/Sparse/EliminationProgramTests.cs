using CsCheck;
using NetAudit.Simulation.Sparse;
using Xunit;

namespace NetAudit.Tests.Simulation.Sparse;

/// <summary>Sparse factors must solve what they were made of, in both directions.</summary>
public unsafe class EliminationProgramTests
{
    [Fact]
    public void Solve_RandomMatrices_LeavesNoResidual() =>
        Gen.Select(Gen.Int[1, 40], Gen.Int[0, 3], Gen.Int[0, int.MaxValue])
            .Sample((size, density, seed) => Check(size, density, new Random(seed)));

    private static void Check(int size, int density, Random random)
    {
        var dense = new double[size, size];
        var entries = new List<long>();
        var isStatic = new bool[size];
        for (var i = 0; i < size; i++)
        {
            isStatic[i] = random.Next(2) == 0;
            dense[i, i] = 4 * density + 1 + random.NextDouble();
            entries.Add(SparsePattern.Entry(i, i));
            for (var k = 0; k < density; k++)
            {
                var j = random.Next(size);
                if (j != i)
                {
                    dense[i, j] = 2 * random.NextDouble() - 1;
                    entries.Add(SparsePattern.Entry(i, j));
                }
            }
        }
        var pattern = SparsePattern.FromEntries(size, [.. entries]);
        var order = MinimumDegree.Order(pattern, [.. Enumerable.Range(0, size)], isStatic);
        var program = new EliminationProgram(pattern, order);
        var values = new double[program.ValueCount];
        for (var i = 0; i < size; i++)
        {
            foreach (var j in pattern.Row(i))
            {
                values[program.Slot(i, j)] = dense[i, j];
            }
        }
        var b = Enumerable.Range(0, size).Select(_ => random.NextDouble() - 0.5).ToArray();
        var (x, z, work, inverse) = (
            new double[size],
            new double[size],
            new double[size],
            new double[size]
        );
        fixed (
            double* v = values,
                right = b,
                solution = x,
                transposed = z,
                w = work,
                inv = inverse
        )
        {
            Assert.True(program.FactorStatic(v, inv));
            Assert.True(program.FactorDynamic(v, inv));
            program.Solve(v, inv, right, solution, w);
            program.SolveTransposed(v, inv, right, transposed, w);
        }
        for (var i = 0; i < size; i++)
        {
            var (forward, backward) = (-b[i], -b[i]);
            for (var j = 0; j < size; j++)
            {
                forward += dense[i, j] * x[j];
                backward += dense[j, i] * z[j];
            }
            Assert.InRange(forward, -1e-12, 1e-12);
            Assert.InRange(backward, -1e-12, 1e-12);
        }
    }
}
